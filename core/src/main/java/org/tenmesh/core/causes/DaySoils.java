package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.SoilTable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;

/**
 * The day's soils side by side: a row for every lab number in the order of the trays, a column for every independent analyte.
 */
final class DaySoils {
    private final List<LabNumber> labNumbers = new ArrayList<>();
    private final Map<String, Integer> rows = new HashMap<>();
    private final List<TrayRows> trays = new ArrayList<>();
    private final List<MethodSoils> methods = new ArrayList<>();
    private final double[][] values;
    private final int[] client;
    private final int[] field;
    private final int[] trayOf;
    private final int[] wellOf;
    private final EarlierRows earlier;
    private final Origin[] origin;
    private final Reuse reuse;
    private final String layoutKey;
    private final String earlierKey;
    /** Digest of each column as it is now; null until it is asked for. */
    private final @Nullable String[] columnKeys;
    /** The middle of each column as it is now; not a number until it is asked for. */
    private final double[] middles;
    /** For each method the rows that have all of its columns now; what is not there was not asked for. */
    private final Map<MethodSoils, BitSet> wholes = new ConcurrentHashMap<>();
    /** Rows of soils of clients. */
    private final BitSet ofClients = new BitSet();

    /**
     * A tray.
     *
     * @param wells the row in each well, -1 where there is none
     * @param key index of the well left empty to show a turned tray; -1 where there is none
     */
    record TrayRows(String name, int[] wells, int key) {}

    private final Policy policy;
    private final List<RunStage> runs;

    private DaySoils(Day day, List<RunStage> stages, Set<String> repeated, EarlierSoils earlier, Reuse reuse) {
        runs = List.copyOf(stages);
        policy = day.laboratory().policy();
        this.reuse = reuse;
        Map<LabNumber, Soil> soils = new HashMap<>();
        day.soils().forEach(soil -> soils.put(soil.labNumber(), soil));
        for (Tray tray : day.trays()) {
            int[] wells = new int[Well.PER_TRAY];
            Arrays.fill(wells, -1);
            for (Tray.Place place : tray.wells()) {
                place.labNumber().ifPresent(lab -> wells[place.well().index()] = rowOf(lab.text()));
            }
            int key = tray.wells().stream()
                    .filter(place -> place.purpose() == Tray.Purpose.KEY
                            && place.labNumber().isEmpty())
                    .mapToInt(place -> place.well().index())
                    .findFirst()
                    .orElse(-1);
            trays.add(new TrayRows(tray.tray(), wells, key));
        }
        day.soils().forEach(soil -> rowOf(soil.labNumber().text()));
        int listed = labNumbers.size();
        for (RunStage run : runs) {
            String last = "";
            for (RunJudgement.Judged judged : run.judgement().determinations()) {
                String identity = judged.determination().identity();
                if (!identity.equals(last)) {
                    rowOf(identity);
                    last = identity;
                }
            }
        }
        int n = labNumbers.size();
        trayOf = new int[n];
        Arrays.fill(trayOf, -1);
        wellOf = new int[n];
        for (int t = 0; t < trays.size(); t++) {
            for (int well = 0; well < Well.PER_TRAY; well++) {
                int row = trays.get(t).wells()[well];
                if (row >= 0) {
                    trayOf[row] = t;
                    wellOf[row] = well;
                }
            }
        }
        client = new int[n];
        field = new int[n];
        Map<String, Integer> clients = new HashMap<>();
        Map<String, Integer> fields = new HashMap<>();
        for (int row = 0; row < n; row++) {
            Soil soil = soils.get(labNumbers.get(row));
            Optional<String> submission = soil == null ? Optional.empty() : soil.submission();
            boolean control = day.controls().containsKey(labNumbers.get(row));
            client[row] = control || submission.isEmpty()
                    ? -1
                    : clients.computeIfAbsent(submission.get(), name -> clients.size());
            ofClients.set(row, client[row] >= 0);
            String stem = soil == null
                    ? ""
                    : soil.clientLabel().map(EarlierRows::stem).orElse("");
            field[row] = fields.computeIfAbsent(client[row] + " " + stem, name -> fields.size());
        }
        Map<String, MethodSoils> byId = new LinkedHashMap<>();
        int columns = 0;
        Map<String, List<RunStage>> runsOf = new LinkedHashMap<>();
        stages.forEach(run -> runsOf.computeIfAbsent(run.method().id(), id -> new ArrayList<>())
                .add(run));
        for (List<RunStage> of : runsOf.values()) {
            Method method = of.get(0).method();
            List<Analyte> kept = ComparedAnalytes.of(of, policy, reuse);
            // A method that gave no result, or the same result everywhere, says nothing of the others.
            if (!kept.isEmpty()) {
                MethodSoils one = new MethodSoils(method, kept, columns, n);
                columns += one.own.length;
                byId.put(method.id(), one);
            }
        }
        methods.addAll(byId.values());
        values = new double[n][columns];
        for (double[] row : values) {
            Arrays.fill(row, Double.NaN);
        }
        for (int r : inOrder(stages)) {
            MethodSoils one = byId.get(stages.get(r).method().id());
            if (one != null && !repeated.contains(stages.get(r).name())) {
                take(r, one);
            }
        }
        for (MethodSoils one : methods) {
            orders(one, runs.size());
        }
        this.earlier = new EarlierRows(earlier, methods, columns, policy.whole(Setting.EARLIER_SOILS_MOST));
        columnKeys = new String[columns];
        middles = new double[columns];
        Arrays.fill(middles, Double.NaN);
        layoutKey = reuse.key(
                "layout",
                reuse.digest(policy),
                reuse.digest(day.trays()),
                reuse.digest(day.soils()),
                day.controls(),
                labNumbers.subList(listed, n));
        earlierKey = earlier.soils().isEmpty()
                ? ""
                : reuse.key(
                        "earlier",
                        reuse.digest(earlier.soils()),
                        methods.stream().map(one -> one.key(reuse)).toList());
        Map<String, Submission> submissions = new HashMap<>();
        day.submissions().forEach(one -> submissions.put(one.submission(), one));
        origin = new Origin[n];
        for (int row = 0; row < n; row++) {
            Soil soil = soils.get(labNumbers.get(row));
            Optional<Submission> from =
                    soil == null ? Optional.empty() : soil.submission().map(submissions::get);
            origin[row] = new Origin(
                    from.map(Submission::client).orElse(""),
                    from.flatMap(EarlierRows::region).orElse(""));
        }
    }

    /** Who sent a soil, and from where; empty texts where it is not known. */
    record Origin(String client, String region) {}

    /**
     * The soils of a day with their first readings by each method.
     *
     * @param repeated runs that are another's readings again: they read nothing
     */
    static DaySoils of(Day day, List<RunStage> runs, Set<String> repeated, EarlierSoils earlier, Reuse reuse) {
        return new DaySoils(day, runs, repeated, earlier, reuse);
    }

    Origin origin(int row) {
        return origin[row];
    }

    /** The rows as they stand now; what is moved later moves in it too. */
    SoilTable table() {
        return new SoilTable(values, client, field);
    }

    EarlierRows earlier() {
        return earlier;
    }

    // The order in which runs began.
    private static int[] inOrder(List<RunStage> runs) {
        return IntStream.range(0, runs.size())
                .boxed()
                .sorted(Comparator.comparing((Integer r) -> runs.get(r)
                                .judgement()
                                .reduced()
                                .run()
                                .startedAt()
                                .toInstant())
                        .thenComparing(r -> runs.get(r).name()))
                .mapToInt(r -> r)
                .toArray();
    }

    private int rowOf(String labNumber) {
        Integer known = rows.get(labNumber);
        if (known != null) {
            return known;
        }
        int row = labNumbers.size();
        rows.put(labNumber, row);
        labNumbers.add(new LabNumber(labNumber));
        return row;
    }

    // A soil's first reading by a method is what the table holds; a later one lies in wait until it is asked about.
    private void take(int r, MethodSoils one) {
        each(r, one, (row, d, column) -> {
            if (one.runOf[row] < 0) {
                one.place(row, r, d);
            }
            if (one.runOf[row] == r) {
                put(one, row, d, column);
            } else {
                one.waits(row, r);
            }
        });
    }

    private interface Taker {
        void take(int row, Determination d, int column);
    }

    // Every determination of a run that stands in one of the method's columns.
    private void each(int r, MethodSoils one, Taker taker) {
        Map<String, Integer> columnOf = new HashMap<>();
        for (int c = 0; c < one.analytes.size(); c++) {
            columnOf.put(one.analytes.get(c).symbol(), c);
        }
        String last = "";
        int row = -1;
        for (RunJudgement.Judged judged : runs.get(r).judgement().determinations()) {
            Determination d = judged.determination();
            if (!d.identity().equals(last)) {
                last = d.identity();
                row = rowOf(last);
            }
            Integer column = columnOf.get(d.analyte());
            if (column != null) {
                taker.take(row, d, column);
            }
        }
    }

    private void put(MethodSoils one, int row, Determination d, int column) {
        // An extract read again later in its run stands at its first place there.
        one.positionOf[row] = Math.min(one.positionOf[row], d.position());
        boolean number = d.flaw() == Flaw.NONE && Double.isFinite(d.amount().raw());
        values[row][one.own[column]] = number ? one.scaled(column, d.amount().raw()) : Double.NaN;
    }

    /** How often any soil was read again by one method, by later runs. */
    int timesReadAgain() {
        return methods.stream().mapToInt(MethodSoils::timesReadAgain).max().orElse(0);
    }

    /**
     * Puts what later runs read into the table, in place of what lies there. A method that read soils again has from then on no places but
     * those of these readings; the others keep theirs.
     *
     * @param time 1 for the second readings, 2 for the third, in the order in which the runs began
     * @return rows of which any method has another reading now
     */
    BitSet takeAgain(int time) {
        BitSet changed = new BitSet();
        for (MethodSoils one : methods) {
            Map<Integer, BitSet> rowsOf = one.readAgain(time);
            if (rowsOf.isEmpty()) {
                continue;
            }
            one.asks(time);
            rowsOf.forEach((r, rows) -> {
                each(r, one, (row, d, column) -> {
                    if (rows.get(row)) {
                        if (one.runOf[row] < 0) {
                            one.place(row, r, d);
                        }
                        put(one, row, d, column);
                    }
                });
                changed.or(rows);
            });
            orders(one, runs.size());
            forget(one);
        }
        return changed;
    }

    /** Everything that {@link #takeAgain} changes. */
    record Before(double[][] values, List<MethodSoils.Places> places) {}

    Before before() {
        double[][] kept = new double[values.length][];
        Arrays.setAll(kept, row -> values[row].clone());
        return new Before(kept, methods.stream().map(MethodSoils::places).toList());
    }

    void restore(Before before) {
        for (int row = 0; row < values.length; row++) {
            System.arraycopy(before.values()[row], 0, values[row], 0, values[row].length);
        }
        for (int m = 0; m < methods.size(); m++) {
            methods.get(m).restore(before.places().get(m));
            forget(methods.get(m));
        }
    }

    private static void orders(MethodSoils one, int runs) {
        List<List<Integer>> of = new ArrayList<>();
        for (int r = 0; r < runs; r++) {
            of.add(new ArrayList<>());
        }
        for (int row = 0; row < one.runOf.length; row++) {
            if (one.runOf[row] >= 0) {
                of.get(one.runOf[row]).add(row);
            }
        }
        for (int r = 0; r < runs; r++) {
            if (!of.get(r).isEmpty()) {
                of.get(r).sort(Comparator.comparingInt((Integer row) -> one.positionOf[row]));
                one.orders.put(r, of.get(r).stream().mapToInt(row -> row).toArray());
            }
        }
    }

    int size() {
        return labNumbers.size();
    }

    LabNumber labNumber(int row) {
        return labNumbers.get(row);
    }

    /** The row of a lab number, -1 when it has none. */
    int row(LabNumber labNumber) {
        return rows.getOrDefault(labNumber.text(), -1);
    }

    List<TrayRows> trays() {
        return trays;
    }

    List<MethodSoils> methods() {
        return methods;
    }

    int trayOf(int row) {
        return trayOf[row];
    }

    int wellOf(int row) {
        return wellOf[row];
    }

    int client(int row) {
        return client[row];
    }

    double value(int row, MethodSoils method, int column) {
        return values[row][method.own[column]];
    }

    /** Of any column, scaled. */
    double value(int row, int column) {
        return values[row][column];
    }

    /** Whether a row has a number in every one of some columns. */
    boolean isWhole(int row, int[] columns) {
        for (int column : columns) {
            if (!Double.isFinite(values[row][column])) {
                return false;
            }
        }
        return true;
    }

    /** A row with some of a method's values replaced, scaled. */
    double[] rowWith(int row, MethodSoils method, double[] replaced) {
        double[] copy = values[row].clone();
        for (int c = 0; c < replaced.length; c++) {
            copy[method.own[c]] = replaced[c];
        }
        return copy;
    }

    /** Takes readings of a method to the soils they belong to; a soil whose reading is at -1 was not read. */
    void move(MethodSoils method, int[] soils, int[] readings) {
        double[][] kept = new double[soils.length][method.own.length];
        for (int i = 0; i < soils.length; i++) {
            for (int c = 0; c < method.own.length; c++) {
                kept[i][c] = readings[i] < 0 ? Double.NaN : values[readings[i]][method.own[c]];
            }
        }
        for (int i = 0; i < soils.length; i++) {
            for (int c = 0; c < method.own.length; c++) {
                values[soils[i]][method.own[c]] = kept[i][c];
            }
            method.nothing[soils[i]] = false;
        }
        forget(method);
    }

    /** What a method read of some rows. */
    record Kept(double[][] values, boolean[] nothing) {}

    Kept keep(MethodSoils method, int[] of) {
        double[][] kept = new double[of.length][method.own.length];
        boolean[] nothing = new boolean[of.length];
        for (int i = 0; i < of.length; i++) {
            nothing[i] = method.nothing[of[i]];
            for (int c = 0; c < method.own.length; c++) {
                kept[i][c] = values[of[i]][method.own[c]];
            }
        }
        return new Kept(kept, nothing);
    }

    void restore(MethodSoils method, int[] of, Kept kept) {
        for (int i = 0; i < of.length; i++) {
            method.nothing[of[i]] = kept.nothing()[i];
            for (int c = 0; c < method.own.length; c++) {
                values[of[i]][method.own[c]] = kept.values()[i][c];
            }
        }
        forget(method);
    }

    private void forget(MethodSoils method) {
        for (int column : method.own) {
            columnKeys[column] = null;
            middles[column] = Double.NaN;
        }
        wholes.remove(method);
    }

    /** Digest of which soils there are, and in which trays, of which clients and fields. */
    String layoutKey() {
        return layoutKey;
    }

    /** Digest of the earlier soils and the columns they were brought into; empty text where there are none. */
    String earlierKey() {
        return earlierKey;
    }

    /** Digest of a method's results as they stand now. */
    String valuesKey(MethodSoils method) {
        return columnsKey(method.own);
    }

    /** Digest of some columns as they stand now. */
    String columnsKey(int[] columns) {
        return reuse.key(Arrays.stream(columns).mapToObj(this::columnKey).toArray());
    }

    private String columnKey(int column) {
        String known = columnKeys[column];
        if (known == null) {
            known = reuse.keeps() ? reuse.key("column", column(column)) : "";
            columnKeys[column] = known;
        }
        return known;
    }

    private double[] column(int column) {
        double[] its = new double[values.length];
        for (int row = 0; row < its.length; row++) {
            its[row] = values[row][column];
        }
        return its;
    }

    /** Makes the digest and the middle of every column and its rows now, on this thread: methods may then be asked about by several threads. */
    void settleColumns() {
        for (int column = 0; column < columnKeys.length; column++) {
            columnKey(column);
        }
        for (MethodSoils method : methods) {
            for (int c = 0; c < method.own.length; c++) {
                middle(method, c);
            }
            whole(method);
        }
    }

    /** The middle of a column, scaled; 0 when it holds nothing. */
    double middle(MethodSoils method, int column) {
        int of = method.own[column];
        if (Double.isNaN(middles[of])) {
            middles[of] = reuse.piece(Double.class, reuse.key("middle", columnKey(of)), () -> middle(of));
        }
        return middles[of];
    }

    private double middle(int column) {
        double[] finite = new double[values.length];
        int n = 0;
        for (double[] row : values) {
            if (Double.isFinite(row[column])) {
                finite[n++] = row[column];
            }
        }
        Arrays.sort(finite, 0, n);
        return n == 0 ? 0 : finite[n / 2];
    }

    // Columns of other methods that enough of this method's soils have together.
    int[] others(MethodSoils method) {
        BitSet mine = (BitSet) whole(method).clone();
        mine.and(ofClients);
        Map<MethodSoils, Integer> cover = new HashMap<>();
        List<MethodSoils> byCover = new ArrayList<>(methods);
        byCover.remove(method);
        byCover.forEach(other -> cover.put(other, both(mine, other).cardinality()));
        byCover.sort(Comparator.comparingInt((MethodSoils other) -> -cover.getOrDefault(other, 0)));
        int least = mine.cardinality();
        List<Integer> columns = new ArrayList<>();
        BitSet joint = mine;
        for (MethodSoils other : byCover) {
            BitSet left = both(joint, other);
            int count = left.cardinality();
            if (count == 0 || count < policy.number(Setting.METHODS_LEAST_COMMON) * least) {
                continue;
            }
            joint = left;
            for (int column : other.own) {
                columns.add(column);
            }
        }
        return columns.stream().mapToInt(column -> column).toArray();
    }

    private BitSet both(BitSet rows, MethodSoils method) {
        BitSet both = (BitSet) rows.clone();
        both.and(whole(method));
        return both;
    }

    // Rows that have all of a method's columns.
    private BitSet whole(MethodSoils method) {
        BitSet known = wholes.get(method);
        if (known == null) {
            known = new BitSet(values.length);
            for (int row = 0; row < values.length; row++) {
                known.set(row, isWhole(row, method.own));
            }
            wholes.put(method, known);
        }
        return known;
    }
}
