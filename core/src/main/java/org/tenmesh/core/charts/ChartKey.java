package org.tenmesh.core.charts;

import java.util.Comparator;

/** What one chart is drawn for. */
public record ChartKey(String material, String method, String analyte, String instrument)
        implements Comparable<ChartKey> {
    private static final Comparator<ChartKey> ORDER = Comparator.comparing(ChartKey::method)
            .thenComparing(ChartKey::instrument)
            .thenComparing(ChartKey::material)
            .thenComparing(ChartKey::analyte);

    @Override
    public int compareTo(ChartKey other) {
        return ORDER.compare(this, other);
    }

    ChartKey of(String otherMaterial) {
        return new ChartKey(otherMaterial, method, analyte, instrument);
    }
}
