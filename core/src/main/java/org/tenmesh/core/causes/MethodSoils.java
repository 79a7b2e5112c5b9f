package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;

/** What one method read: its columns, and for every row where its reading is. */
final class MethodSoils implements EarlierRows.Columns {
    final Method method;
    final List<Analyte> analytes;
    final int[] own;
    final double[] floor;
    /** Index of the run that read a row, of those that are asked about; -1 = none did. */
    final int[] runOf;

    final int[] positionOf;
    final String[] channelOf;
    final boolean[] nothing;
    /** Digest of the places as they are; null until it is asked for. */
    private @Nullable String placesKey;
    /** For rows that several runs read, those after the first in the order in which they began. */
    private final Map<Integer, List<Integer>> later = new TreeMap<>();
    /** Which readings are asked about: 0 the first of each soil, 1 the second. */
    private int time;
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
        // their order say every place. Which readings are second ones, those that read first say too.
        return reuse.key(
                "places",
                key(reuse),
                time,
                orders.keySet().stream().map(run -> runs.get(run).key()).toList(),
                time == 0
                        ? List.of()
                        : runs.stream()
                                .filter(run -> run.method().id().equals(method.id()))
                                .map(RunStage::key)
                                .toList());
    }

    /** A soil's place in a run. */
    void place(int row, int run, Determination d) {
        runOf[row] = run;
        positionOf[row] = d.position();
        channelOf[row] = d.channel();
        nothing[row] = d.flaw() == Flaw.WEIGHING_IMPOSSIBLE;
    }

    /** Another run read a soil again. */
    void waits(int row, int run) {
        List<Integer> its = later.computeIfAbsent(row, any -> new ArrayList<>());
        if (!its.contains(run)) {
            its.add(run);
        }
    }

    /** How often any soil was read again. */
    int timesReadAgain() {
        return later.values().stream().mapToInt(List::size).max().orElse(0);
    }

    /** By run, the rows that it read for the second time, the third, and so on. */
    Map<Integer, BitSet> readAgain(int its) {
        Map<Integer, BitSet> rows = new TreeMap<>();
        later.forEach((row, runs) -> {
            if (runs.size() >= its) {
                rows.computeIfAbsent(runs.get(its - 1), run -> new BitSet()).set(row);
            }
        });
        return rows;
    }

    /** From now on asks about other readings, of which no place is known yet. */
    void asks(int its) {
        time = its;
        Arrays.fill(runOf, -1);
        orders.clear();
        placesKey = null;
    }

    /** Which readings are asked about: 0 the first of each soil, 1 the second. */
    int time() {
        return time;
    }

    /** Where the readings lie that are asked about. */
    record Places(
            int time,
            int[] runOf,
            int[] positionOf,
            String[] channelOf,
            boolean[] nothing,
            Map<Integer, int[]> orders) {}

    Places places() {
        return new Places(
                time,
                runOf.clone(),
                positionOf.clone(),
                channelOf.clone(),
                nothing.clone(),
                new LinkedHashMap<>(orders));
    }

    void restore(Places places) {
        System.arraycopy(places.runOf(), 0, runOf, 0, runOf.length);
        System.arraycopy(places.positionOf(), 0, positionOf, 0, positionOf.length);
        System.arraycopy(places.channelOf(), 0, channelOf, 0, channelOf.length);
        System.arraycopy(places.nothing(), 0, nothing, 0, nothing.length);
        orders.clear();
        orders.putAll(places.orders());
        time = places.time();
        placesKey = null;
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
