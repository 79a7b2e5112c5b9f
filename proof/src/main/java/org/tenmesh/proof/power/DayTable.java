package org.tenmesh.proof.power;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Exchange;
import org.tenmesh.core.agreement.KnownControls;
import org.tenmesh.core.agreement.SoilTable;
import org.tenmesh.core.agreement.Vessel;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * A judged day as a table of soils, with the odds of every exchange that was or was not: the judge's own statistic below the odds from which
 * it speaks. Rows lie in the order of the trays.
 */
final class DayTable {
    static final List<String> METHODS = List.of("ph-water-1-1", "om-loi-360", "mehlich3-icp");
    private static final List<List<String>> COLUMNS = List.of(
            List.of("pH"), List.of("LOI"), List.of("P", "K", "Ca", "Mg", "Na", "S", "B", "Cu", "Fe", "Mn", "Zn", "Al"));
    /** A vessel without soil, as the judge takes it to read. */
    private static final double EMPTY_PH = 6.2;

    private static final double EMPTY_PH_SD = 0.7;
    private static final double EMPTY_SD = 0.3;

    private final MethodsOfDay methods;
    private final Day day;
    private final Map<LabNumber, Integer> rowOf = new HashMap<>();
    private final List<int[]> trays;
    private final double[][] values;
    private final int[] client;
    private final int[] field;
    private final Map<String, String[]> runOf = new HashMap<>();

    DayTable(Day day, JudgedDay judged, MethodBook methods) {
        this.day = day;
        this.methods = methods.on(day.date());
        Map<LabNumber, Soil> soils = new HashMap<>();
        day.soils().forEach(soil -> soils.put(soil.labNumber(), soil));
        trays = day.trays().stream().map(this::wells).toList();
        int n = rowOf.size();
        values = new double[n][COLUMNS.stream().mapToInt(List::size).sum()];
        Arrays.stream(values).forEach(row -> Arrays.fill(row, Double.NaN));
        client = new int[n];
        field = new int[n];
        Map<String, Integer> clients = new HashMap<>();
        Map<String, Integer> fields = new HashMap<>();
        rowOf.forEach((lab, row) -> {
            Optional<Soil> soil = Optional.ofNullable(soils.get(lab));
            Optional<String> submission = soil.flatMap(Soil::submission);
            client[row] = submission.isEmpty() || day.controls().containsKey(lab)
                    ? -1
                    : clients.computeIfAbsent(submission.get(), name -> clients.size());
            String stem = soil.flatMap(Soil::clientLabel).map(DayTable::stem).orElse("");
            field[row] = fields.computeIfAbsent(client[row] + " " + stem, name -> fields.size());
        });
        METHODS.forEach(method -> runOf.put(method, new String[n]));
        for (Result result : judged.results()) {
            Integer row = rowOf.get(result.labNumber());
            int m = METHODS.indexOf(result.method());
            int c = m < 0 ? -1 : COLUMNS.get(m).indexOf(result.analyte());
            if (row != null && c >= 0 && !result.unread()) {
                runOf(result.method())[row] = result.run();
                values[row][first(m) + c] =
                        scaled(analyte(m, c), result.amount().raw());
            }
        }
    }

    private String[] runOf(String method) {
        return Objects.requireNonNull(runOf.get(method));
    }

    private int[] wells(Tray tray) {
        int[] wells = new int[Well.PER_TRAY];
        Arrays.fill(wells, -1);
        for (Tray.Place place : tray.wells()) {
            place.labNumber().ifPresent(lab -> {
                wells[place.well().index()] = rowOf.size();
                rowOf.put(lab, rowOf.size());
            });
        }
        return wells;
    }

    // A client's own names of one field's soils differ in their last number.
    static String stem(String label) {
        return label.replaceAll("\\d+$", "").replaceAll("[^\\p{Alnum}]+$", "");
    }

    private static int first(int method) {
        return COLUMNS.subList(0, method).stream().mapToInt(List::size).sum();
    }

    private Analyte analyte(int m, int c) {
        return methods.of(METHODS.get(m)).analyte(COLUMNS.get(m).get(c)).orElseThrow();
    }

    private static double floor(Analyte analyte) {
        return Math.max(analyte.reportingLimit().orElse(0), Math.max(3 * analyte.withinFloor(), 1e-6));
    }

    private static double scaled(Analyte analyte, double value) {
        return analyte.unit() == Unit.PH ? value : Math.log(Math.max(value, 0) + floor(analyte));
    }

    private static int[] own(int m) {
        return IntStream.range(first(m), first(m) + COLUMNS.get(m).size()).toArray();
    }

    private int[] others(int[] own) {
        return IntStream.range(0, values[0].length)
                .filter(column -> column < own[0] || column > own[own.length - 1])
                .toArray();
    }

    PlainRegression regression(String method) {
        int[] own = own(METHODS.indexOf(method));
        return new PlainRegression(values, own, others(own));
    }

    /** Odds of a turned tray by the plain regression. */
    double turned(PlainRegression regression, String method, int tray) {
        return regression.turned(read(method, trays.get(tray)));
    }

    /** How a method agrees with the others on this day. */
    Agreement agreement(String method) {
        int m = METHODS.indexOf(method);
        int p = COLUMNS.get(m).size();
        int[] own = own(m);
        int[] others = others(own);
        References references = References.of(method, day.standards(), day.materials());
        @Nullable double[][] mean = new double[values.length][];
        @Nullable double[][] sd = new double[values.length][];
        day.controls().forEach((lab, material) -> {
            Integer row = rowOf.get(lab);
            if (row != null) {
                mean[row] = new double[p];
                sd[row] = new double[p];
                for (int c = 0; c < p; c++) {
                    Analyte analyte = analyte(m, c);
                    Material known =
                            references.material(material, analyte.symbol()).orElseThrow();
                    mean[row][c] = scaled(analyte, known.mean());
                    sd[row][c] = analyte.unit() == Unit.PH ? known.sd() : known.sd() / (known.mean() + floor(analyte));
                }
            }
        });
        double[] emptyMean = new double[p];
        double[] emptySd = new double[p];
        double[] repeatSd = new double[p];
        for (int c = 0; c < p; c++) {
            Analyte analyte = analyte(m, c);
            boolean ph = analyte.unit() == Unit.PH;
            emptyMean[c] = ph ? EMPTY_PH : Math.log(floor(analyte));
            emptySd[c] = ph ? EMPTY_PH_SD : EMPTY_SD;
            int column = own[c];
            double[] sorted = Arrays.stream(values)
                    .mapToDouble(row -> row[column])
                    .filter(Double::isFinite)
                    .sorted()
                    .toArray();
            double middle = sorted[sorted.length / 2];
            double content = ph ? middle : Math.exp(middle) - floor(analyte);
            repeatSd[c] = WithinLaboratory.of(analyte, references.materials(analyte.symbol()))
                            .sdAt(content)
                    / (ph ? 1 : Math.exp(middle));
        }
        return Agreement.learn(
                Assumptions.of(Policy.defaults()),
                new SoilTable(values, client, field),
                own,
                others,
                new KnownControls(mean, sd),
                new Vessel(emptyMean, emptySd, repeatSd),
                new boolean[values.length]);
    }

    /** Which trays a method read as a whole in one run, at least half of their wells with soils that something can be said of. */
    int[] trays(String method, Agreement agreement) {
        return IntStream.range(0, trays.size())
                .filter(t -> Arrays.stream(read(method, trays.get(t)))
                                .filter(row -> row >= 0 && agreement.predicts(row))
                                .count()
                        >= Well.PER_TRAY / 2)
                .toArray();
    }

    double turned(Agreement agreement, String method, int tray) {
        int[] wells = trays.get(tray);
        int[] empty =
                IntStream.range(0, wells.length).filter(well -> wells[well] < 0).toArray();
        return Exchange.turned(agreement, read(method, wells), empty.length == 1 ? empty[0] : -1);
    }

    double exchanged(Agreement agreement, String method, int one, int other) {
        return Exchange.exchanged(agreement, read(method, trays.get(one)), read(method, trays.get(other)));
    }

    double neighbours(Agreement agreement, int one, int other) {
        int low = Math.min(one, other);
        int high = Math.max(one, other);
        return Exchange.log10Odds(agreement, new int[] {low, high}, new int[] {high, low});
    }

    private int[] read(String method, int[] wells) {
        String[] runs = runOf(method);
        return Arrays.stream(wells)
                .map(row -> row >= 0 && runs[row] != null ? row : -1)
                .toArray();
    }

    /** The first of each pair of clients' soils that one run read one after the other. */
    int[] pairs(String method) {
        String[] runs = runOf(method);
        return IntStream.range(0, values.length - 1)
                .filter(row -> client[row] >= 0
                        && client[row + 1] >= 0
                        && runs[row] != null
                        && runs[row].equals(runs[row + 1]))
                .toArray();
    }

    boolean sameField(int one, int other) {
        return client[one] == client[other] && field[one] == field[other];
    }

    int row(LabNumber lab) {
        return rowOf.getOrDefault(lab, -1);
    }

    int trayOf(LabNumber lab) {
        int row = row(lab);
        return IntStream.range(0, trays.size())
                .filter(t -> row >= 0 && Arrays.stream(trays.get(t)).anyMatch(one -> one == row))
                .findFirst()
                .orElse(-1);
    }

    /** Whether a tray holds twelve clients' soils and nothing else. */
    boolean isPlain(int tray) {
        return Arrays.stream(trays.get(tray)).allMatch(row -> row >= 0 && client[row] >= 0);
    }

    /** Whether one run read both. */
    boolean together(String method, int one, int other) {
        return Objects.equals(run(method, one), run(method, other));
    }

    private @Nullable String run(String method, int tray) {
        String[] runs = runOf(method);
        return Arrays.stream(trays.get(tray))
                .filter(row -> row >= 0 && runs[row] != null)
                .mapToObj(row -> runs[row])
                .findFirst()
                .orElse(null);
    }

    /** The lab numbers of a run's soils in the order they were first read. */
    static List<String> order(Run run) {
        return IntStream.range(0, run.readings().size())
                .filter(i -> run.readings().role(i) == Role.SAMPLE)
                .mapToObj(i -> run.readings().identity(i))
                .distinct()
                .toList();
    }
}
