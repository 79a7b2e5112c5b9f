package org.tenmesh.core.custody;

import java.util.List;
import java.util.OptionalLong;
import java.util.Set;

/**
 * Regulated soil that is to be booked in.
 *
 * @param hits what made it regulated; none where somebody decided so without a list
 * @param massG as weighed at the dock, g; empty when not weighed
 */
public record Consignment(
        Origin origin, List<Areas.Hit> hits, OptionalLong massG, Set<Permit.Analysis> analyses, boolean handCarried) {
    public Consignment {
        hits = List.copyOf(hits);
        analyses = Set.copyOf(analyses);
        if (analyses.isEmpty()) {
            throw new IllegalArgumentException("a consignment says what is to be done with it");
        }
    }
}
