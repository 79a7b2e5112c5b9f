package org.tenmesh.core.causes;

import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;

/** What one method read: its columns, and for every row where its reading is. */
final class MethodSoils implements EarlierRows.Columns {
    final Method method;
    final List<Analyte> analytes;
    final int[] own;
    final double[] floor;
    /** Index of the run that read a row; -1 = none did. */
    final int[] runOf;

    final int[] positionOf;
    final String[] channelOf;
    final boolean[] nothing;
    /** Digest of the places, which never change; null until it is asked for. */
    private @Nullable String placesKey;
    /** Rows in the order each run read them. */
    final Map<Integer, int[]> orders = new LinkedHashMap<>();

    MethodSoils(Method method, List<Analyte> analytes, int firstColumn, int rows) {
        this.method = method;
        this.analytes = analytes;
        own = new int[analytes.size()];
        floor = new double[analytes.size()];
        for (int c = 0; c < own.length; c++) {
            own[c] = firstColumn + c;
            floor[c] = floor(analytes.get(c));
        }
        runOf = new int[rows];
        Arrays.fill(runOf, -1);
        positionOf = new int[rows];
        channelOf = new String[rows];
        Arrays.fill(channelOf, "");
        nothing = new boolean[rows];
    }

    /** Digest of the method's version and its columns. */
    String key(Reuse reuse) {
        return reuse.keeps()
                ? reuse.key(
                        reuse.digest(method),
                        own,
                        analytes.stream().map(Analyte::symbol).toList())
                : "";
    }

    /**
     * Digest of which run read which lab number where; which row that is, the layout says.
     *
     * @param runs of the day
     */
    String placesKey(List<RunStage> runs, Reuse reuse) {
        String known = placesKey;
        if (known == null) {
            known = reuse.keeps() ? places(runs, reuse) : "";
            placesKey = known;
        }
        return known;
    }

    private String places(List<RunStage> runs, Reuse reuse) {
        // A run of another method that comes in between changes the numbers of runs, and nothing else: its own runs in
        // their order say every place.
        return reuse.key(
                "places",
                key(reuse),
                orders.keySet().stream().map(run -> runs.get(run).key()).toList());
    }

    @Override
    public String methodId() {
        return method.id();
    }

    @Override
    public List<Analyte> analytes() {
        return analytes;
    }

    @Override
    public int[] own() {
        return own;
    }

    boolean isPh(int column) {
        return analytes.get(column).unit() == Unit.PH;
    }

    /** On the scale on which differences compare: pH as it is, contents as logarithms that end softly at the limit. */
    @Override
    public double scaled(int column, double value) {
        return isPh(column) ? value : Math.log(Math.max(value, 0) + floor[column]);
    }

    double unscaled(int column, double scaled) {
        return isPh(column) ? scaled : Math.exp(scaled) - floor[column];
    }

    /** Change of the scaled value for a small relative change of the content; for pH for a change of 1. */
    double slope(int column, double scaled) {
        return isPh(column) ? 1 : 1 - floor[column] * Math.exp(-scaled);
    }

    private static double floor(Analyte analyte) {
        return Math.max(analyte.reportingLimit().orElse(0), Math.max(3 * analyte.withinFloor(), 1e-6));
    }
}
