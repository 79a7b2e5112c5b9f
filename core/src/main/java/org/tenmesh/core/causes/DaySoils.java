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
import java.util.stream.DoubleStream;
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

    private DaySoils(Day day, List<RunStage> stages, EarlierSoils earlier, Reuse reuse) {
        List<RunJudgement> runs = stages.stream().map(RunStage::judgement).toList();
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
        for (RunJudgement run : runs) {
            String last = "";
            for (RunJudgement.Judged judged : run.determinations()) {
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
            List<Analyte> kept = compared(of);
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
        for (int r = 0; r < runs.size(); r++) {
            take(r, runs.get(r), byId);
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

    /** The analytes of a method whose results are compared with those of other methods. */
    private record Compared(List<Analyte> analytes) {}

    private List<Analyte> compared(List<RunStage> runs) {
        return reuse.piece(
                        Compared.class,
                        reuse.key(
                                "compared",
                                Engine.VERSION,
                                reuse.digest(policy),
                                runs.stream().map(RunStage::key).toList()),
                        () -> {
                            List<RunJudgement> judged =
                                    runs.stream().map(RunStage::judgement).toList();
                            List<Analyte> chosen = judged.stream()
                                    .filter(run ->
                                            !run.reduced().determinations().isEmpty())
                                    .findFirst()
                                    .map(DaySoils::independent)
                                    .orElse(List.of());
                            return new Compared(withVariance(chosen, judged));
                        })
                .analytes();
    }

    // Where most soils gave one and the same value, the analyte is left out of the comparison of methods, and its own
    // run
    // is judged as ever.
    private List<Analyte> withVariance(List<Analyte> chosen, List<RunJudgement> runs) {
        Map<String, DoubleStream.Builder> read = new HashMap<>();
        chosen.forEach(analyte -> read.put(analyte.symbol(), DoubleStream.builder()));
        for (RunJudgement run : runs) {
            for (RunJudgement.Judged judged : run.determinations()) {
                Determination d = judged.determination();
                DoubleStream.Builder its = read.get(d.analyte());
                if (its != null
                        && d.flaw() == Flaw.NONE
                        && Double.isFinite(d.amount().raw())) {
                    its.accept(d.amount().raw());
                }
            }
        }
        return chosen.stream()
                .filter(analyte -> {
                    DoubleStream.Builder its = read.get(analyte.symbol());
                    double[] values = its == null ? new double[0] : its.build().toArray();
                    return values.length < policy.whole(Setting.RELATIONS_LEAST_SOILS)
                            || !SoilTable.mostHoldOneValue(values);
                })
                .toList();
    }

    /** Who sent a soil, and from where; empty texts where it is not known. */
    record Origin(String client, String region) {}

    static DaySoils of(Day day, List<RunStage> runs, EarlierSoils earlier, Reuse reuse) {
        return new DaySoils(day, runs, earlier, reuse);
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

    // What is calculated from the same readings as another analyte says nothing of its own.
    private static List<Analyte> independent(RunJudgement run) {
        Method method = run.reduced().method();
        List<Analyte> chosen = new ArrayList<>();
        List<Set<String>> seen = new ArrayList<>();
        List<Determination> all = run.reduced().determinations();
        for (int i = 0; i < all.size() && all.get(i).position() == all.get(0).position(); i++) {
            Analyte analyte = method.analyte(all.get(i).analyte()).orElseThrow();
            Set<String> from = method.measurements(analyte.symbol());
            if (!seen.contains(from)) {
                seen.add(from);
                chosen.add(analyte);
            }
        }
        return chosen;
    }

    private void take(int r, RunJudgement run, Map<String, MethodSoils> byId) {
        MethodSoils one = byId.get(run.reduced().method().id());
        if (one == null) {
            return;
        }
        Map<String, Integer> columnOf = new HashMap<>();
        for (int c = 0; c < one.analytes.size(); c++) {
            columnOf.put(one.analytes.get(c).symbol(), c);
        }
        String last = "";
        int row = -1;
        for (RunJudgement.Judged judged : run.determinations()) {
            Determination d = judged.determination();
            if (!d.identity().equals(last)) {
                last = d.identity();
                row = rowOf(last);
            }
            Integer column = columnOf.get(d.analyte());
            if (column == null) {
                continue;
            }
            if (one.runOf[row] != r) {
                one.runOf[row] = r;
                one.positionOf[row] = d.position();
                one.channelOf[row] = d.channel();
                one.nothing[row] = d.flaw() == Flaw.WEIGHING_IMPOSSIBLE;
            }
            // An extract read again later stands at its first place in the run.
            one.positionOf[row] = Math.min(one.positionOf[row], d.position());
            boolean number = d.flaw() == Flaw.NONE && Double.isFinite(d.amount().raw());
            values[row][one.own[column]] =
                    number ? one.scaled(column, d.amount().raw()) : Double.NaN;
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
