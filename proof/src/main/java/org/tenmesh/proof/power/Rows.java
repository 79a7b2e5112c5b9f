package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;

/** Everything that is planted, in the order of the report. */
final class Rows {
    static final String EXCHANGES = "The right reading under the wrong lab number";
    static final String PORTIONS = "Portions and dilutions";
    static final String INSTRUMENTS = "Standards, drift, probes and balances";
    static final String CONTROLS = "Control soils, carry-over, water";
    static final String OTHERS = "What a run shows by itself";
    static final String TWO = "Two faults in one day";
    static final String GROUNDS = "Exchanges on other ground";
    static final String REAL = "Exchanges of real soils";

    /** Soils of a day on which one probe of the first pH head, and one balance of the first furnace, reads about 250 vessels. */
    private static final int SOILS_FOR_250 = 1870;

    private static final String PH = "ph-water-1-1";
    private static final String LOSS = "om-loi-360";
    private static final String PLASMA = "mehlich3-icp";
    private static final List<String> BROAD = List.of("P", "K", "Ca", "Mg", "S", "B", "Mn", "Zn");
    private static final double A_QUARTER = 0.25;
    private static final double HALF = 0.5;

    private Rows() {}

    static String plain(String method) {
        return switch (method) {
            case PH -> "pH";
            case LOSS -> "organic matter";
            default -> "plasma";
        };
    }

    /** All rows that need nothing from elsewhere. */
    static List<Row> all() {
        List<Row> rows = new ArrayList<>(exchanges(EXCHANGES, 1));
        portions(rows);
        instruments(rows);
        controls(rows);
        others(rows);
        two(rows);
        for (Ground ground : Ground.values()) {
            if (ground != Ground.ARABLE) {
                exchanges(GROUNDS, A_QUARTER)
                        .forEach(row ->
                                rows.add(on(row, ground.word(), row.options().on(ground))));
            }
        }
        for (Likeness likeness : LIKENESSES) {
            exchanges(GROUNDS, A_QUARTER)
                    .forEach(row -> rows.add(
                            on(row, "alike " + words(likeness), row.options().with(likeness))));
        }
        return rows;
    }

    /** More and less alike than usual. */
    static final List<Likeness> LIKENESSES = List.of(new Likeness(0.80, 0.16, 0.04), new Likeness(0.50, 0.30, 0.20));

    static String words(Likeness likeness) {
        return likeness.client() + "/" + likeness.field() + "/" + likeness.soil();
    }

    private static Row on(Row row, String where, Options options) {
        Row there = row.in(options);
        return new Row(
                GROUNDS,
                where + ": " + row.name(),
                "",
                0,
                row.soils(),
                there.options(),
                List.of(),
                row.faults(),
                row.further(),
                A_QUARTER,
                Map.of());
    }

    /** The exchanges with soils from elsewhere. */
    static List<Row> real(String day, List<GivenSoil> soils) {
        List<Row> rows = new ArrayList<>();
        for (String method : List.of(PH, LOSS, PLASMA)) {
            String name = day + ": " + plain(method) + ", ";
            rows.add(turned(name + "tray turned, no key wells", method, false));
            rows.add(exchanged(name + "trays exchanged, no key wells", method, false, 1));
            rows.add(shifted(name + "run shifted by one", method));
            rows.add(neighbours(name + "neighbours exchanged", method, "any"));
        }
        return rows.stream()
                .map(row -> row.under(REAL).of(soils).repeated(HALF))
                .toList();
    }

    private static List<Row> exchanges(String part, double share) {
        List<Row> rows = new ArrayList<>();
        for (String method : List.of(PH, LOSS, PLASMA)) {
            String name = plain(method) + ", ";
            rows.add(turned(name + "tray turned, no key wells", method, false).atLeast("atRate", 0.99));
            rows.add(exchanged(name + "trays exchanged, no key wells", method, false, 1)
                    .atLeast("atRate", 0.99));
            if (part.equals(EXCHANGES)) {
                rows.add(turned(name + "tray turned, key wells", method, true).atLeast("atRate", 1));
                rows.add(exchanged(name + "trays exchanged, key wells", method, true, 1)
                        .atLeast("atRate", 1));
                rows.add(exchanged(name + "trays five apart exchanged, no key wells", method, false, 5));
            }
            rows.add(shifted(name + "run shifted by one", method)
                    .atLeast("named", 0.99)
                    .atLeast("further", 0.99));
            rows.add(neighbours(name + "neighbours of two fields exchanged", method, "different")
                    .atLeast("atRate", 0.8));
            rows.add(neighbours(name + "neighbours of one field exchanged", method, "same"));
        }
        return rows.stream().map(row -> row.under(part).repeated(share)).toList();
    }

    // A method has five runs in a day of a thousand soils; a fault of no named run goes to the first. Which one does
    // not matter here.
    private static Row turned(String name, String method, boolean key) {
        return Row.of(EXCHANGES, name, chance -> "tray-turned,method=" + method + ",position=" + inside(chance))
                .in(Options.defaults().withKeyWells(key));
    }

    private static Row exchanged(String name, String method, boolean key, int apart) {
        return Row.of(
                        EXCHANGES,
                        name,
                        chance -> "trays-exchanged,method=" + method + ",size=" + apart + ",position="
                                + between(chance, 30, 120))
                .in(Options.defaults().withKeyWells(key));
    }

    private static Row shifted(String name, String method) {
        return Row.of(
                        EXCHANGES,
                        name,
                        chance -> "run-shifted,method=" + method + ",size=" + sign(chance, 1) + ",position="
                                + inside(chance))
                .asking(Row.Further.WITHIN_ONE);
    }

    private static Row neighbours(String name, String method, String fields) {
        return Row.of(
                EXCHANGES,
                name,
                chance ->
                        "neighbours-exchanged,fields=" + fields + ",method=" + method + ",position=" + inside(chance));
    }

    private static void portions(List<Row> rows) {
        for (double[] size : new double[][] {{0.4, 40}, {-0.4, -40}, {0.667, 66.7}, {-0.286, -28.6}}) {
            String what = size[0] == 0.667
                    ? "extractant 40 % too little (contents 1/0.6)"
                    : size[0] == -0.286
                            ? "extractant 40 % too much (contents 1/1.4)"
                            : size[0] > 0 ? "soil 40 % too much" : "soil 40 % too little";
            rows.add(Row.of(PORTIONS, "plasma, " + what, chance -> portion(chance, size[0]))
                    .atLeast("named", 0.9));
        }
        for (int pct : new int[] {10, 15, 20, 25, 30, 40, 50, 70, 100}) {
            rows.add(Row.point(PORTIONS, "plasma, portion too large, %", pct, chance -> portion(chance, pct / 100.0)));
        }
        for (int pct : new int[] {10, 15, 20, 25, 30, 40, 50, 70}) {
            rows.add(Row.point(PORTIONS, "plasma, portion too small, %", pct, chance -> portion(chance, -pct / 100.0)));
        }
        for (double times : new double[] {2, 2.5, 5, 10}) {
            rows.add(Row.of(
                            PORTIONS,
                            "plasma, diluted " + Row.plain(times) + " times as far as recorded, first reading",
                            chance -> "dilution-mismatch,second=no,size=" + times + ",position=" + inside(chance))
                    .atLeast("named", 0.95));
            rows.add(Row.of(
                            PORTIONS,
                            "plasma, diluted " + Row.plain(times) + " times as far as recorded, second reading",
                            chance -> "dilution-mismatch,second=yes,size=" + times + ",run=" + plasmaRun(chance))
                    .atLeast("named", 0.95));
        }
    }

    private static String portion(Random chance, double size) {
        return "portion-wrong,size=" + size + ",position=" + inside(chance);
    }

    private static void instruments(List<Row> rows) {
        rows.add(Row.of(INSTRUMENTS, "plasma, one standard 10 % wrong", chance -> standard(chance, 0.10))
                .atLeast("named", 0.99));
        rows.add(Row.of(INSTRUMENTS, "pH, one buffer 0.1 wrong", chance -> buffer(chance, 0.1))
                .atLeast("named", 0.99));
        for (double pct : new double[] {1, 2, 3, 5, 10}) {
            rows.add(Row.point(
                    INSTRUMENTS, "plasma, one standard wrong, %", pct, chance -> standard(chance, pct / 100)));
        }
        for (double ph : new double[] {0.02, 0.05, 0.1, 0.15, 0.2}) {
            rows.add(Row.point(INSTRUMENTS, "pH, one buffer wrong, pH", ph, chance -> buffer(chance, ph)));
        }
        rows.add(Row.of(INSTRUMENTS, "plasma, one element drifts 5 % over the run", chance -> drift(chance, 0.05))
                .asking(Row.Further.BEFORE_THE_END)
                .atLeast("named", 0.99)
                .atLeast("further", 0.99));
        for (double pct : new double[] {1, 2, 3, 4, 5, 7, 10}) {
            rows.add(Row.point(
                            INSTRUMENTS,
                            "plasma, one element drifts over the run, %",
                            pct,
                            chance -> drift(chance, pct / 100))
                    .asking(Row.Further.BEFORE_THE_END));
        }
        rows.add(Row.of(INSTRUMENTS, "pH, one probe 0.05 off, 250 readings a probe", chance -> probe(chance, 0.05))
                .asking(Row.Further.INTERVAL)
                .ofSoils(SOILS_FOR_250)
                .atLeast("named", 0.95)
                .atLeast("further", 0.95));
        for (double ph : new double[] {0.01, 0.02, 0.03, 0.04, 0.05, 0.07, 0.1}) {
            rows.add(Row.point(INSTRUMENTS, "pH, one probe off, pH", ph, chance -> probe(chance, ph))
                    .asking(Row.Further.INTERVAL)
                    .ofSoils(SOILS_FOR_250));
        }
        for (String weighing : List.of("dry", "ash")) {
            for (double mg : new double[] {1, 2, 3, 5}) {
                String curve = "organic matter, one balance off at the " + weighing + " weighing, mg";
                Row row = Row.point(
                                INSTRUMENTS,
                                curve,
                                mg,
                                chance -> "channel-bias,method=" + LOSS + ",size=" + sign(chance, mg) + ",channel="
                                        + (1 + chance.nextInt(4)) + ",weighing=" + weighing)
                        .ofSoils(SOILS_FOR_250)
                        .repeated(1);
                rows.add(mg == 3 ? row.atLeast("named", 0.95) : row);
            }
        }
    }

    private static String standard(Random chance, double size) {
        return "standard-wrong,method=" + PLASMA + ",size=" + sign(chance, size) + ",position="
                + (2 + chance.nextInt(5));
    }

    private static String buffer(Random chance, double ph) {
        // The four probes read each buffer at once: positions 1 to 12 are the three that calibrate.
        return "standard-wrong,method=" + PH + ",size=" + sign(chance, ph) + ",position=" + (1 + chance.nextInt(12));
    }

    private static String drift(Random chance, double total) {
        return "drift,method=" + PLASMA + ",total=" + sign(chance, total) + ",analytes="
                + BROAD.get(chance.nextInt(BROAD.size()));
    }

    private static String probe(Random chance, double ph) {
        return "channel-bias,method=" + PH + ",size=" + sign(chance, ph) + ",channel=" + (1 + chance.nextInt(4));
    }

    private static void controls(List<Row> rows) {
        rows.add(Row.of(
                        CONTROLS,
                        "another control soil in a hidden control's well",
                        chance -> "control-material-mistaken,method=" + PLASMA + ",position=" + inside(chance))
                .asking(Row.Further.NOBODY_HELD)
                .atLeast("named", 0.99)
                .atLeast("further", 0.99));
        for (String method : List.of(PH, LOSS, PLASMA)) {
            rows.add(Row.of(
                            CONTROLS,
                            plain(method) + ", another control soil as an open control",
                            chance -> "control-material-mistaken,open=yes,method=" + method + ",position="
                                    + inside(chance))
                    .asking(Row.Further.NOBODY_HELD)
                    .atLeast("named", 0.99)
                    .atLeast("further", 0.99));
        }
        rows.add(Row.of(CONTROLS, "plasma, carry-over of boron, 3 %", chance -> carried(chance, 0.03))
                .atLeast("named", 0.95));
        for (double pct : new double[] {2, 3, 5, 8}) {
            rows.add(Row.point(CONTROLS, "plasma, carry-over of boron, %", pct, chance -> carried(chance, pct / 100)));
        }
        rows.add(
                Row.of(CONTROLS, "plasma, iron in the line of boron, 0.001 mg/L each", chance -> added(chance, 0.001)));
        rows.add(Row.of(
                CONTROLS,
                "plasma, calcium in the line of sulphur, 0.003 mg/L each",
                chance -> "interference,analytes=S,from=Ca,size=0.003,run=" + plasmaRun(chance)));
        for (double share : new double[] {0.3, 0.5, 1, 2}) {
            rows.add(Row.point(
                    CONTROLS,
                    "plasma, iron in the line of boron, µg/L for each mg/L",
                    share,
                    chance -> added(chance, share / 1000)));
        }
        rows.add(Row.of(
                CONTROLS, "organic matter, 0.6 % of water left in twelve crucibles", chance -> wet(chance, 0.6)));
        for (double pct : new double[] {0.2, 0.3, 0.6, 1.0, 1.5}) {
            rows.add(Row.point(
                    CONTROLS, "organic matter, water left in twelve crucibles, %", pct, chance -> wet(chance, pct)));
        }
        for (String method : List.of(PH, LOSS, PLASMA)) {
            for (double rank : new double[] {0.5, 0.9, 0.99}) {
                rows.add(Row.point(
                        CONTROLS,
                        plain(method) + ", another client's soil in one vessel, rank of its unlikeness",
                        rank,
                        chance -> "implausible-together,method=" + method + ",size=" + rank + ",position="
                                + inside(chance)));
            }
            for (double sds : new double[] {1, 2, 3, 4}) {
                rows.add(Row.point(
                        CONTROLS,
                        plain(method) + ", control soils and soils move over the day, standard deviations",
                        sds,
                        chance -> "control-trend,method=" + method + ",size=" + sign(chance, sds)));
            }
        }
    }

    private static String carried(Random chance, double size) {
        return "carry-over,method=" + PLASMA + ",size=" + size + ",run=" + plasmaRun(chance);
    }

    private static String added(Random chance, double share) {
        return "interference,analytes=B,from=Fe,size=" + share + ",run=" + plasmaRun(chance);
    }

    private static String wet(Random chance, double pct) {
        return "not-dry,length=12,size=" + pct / 100 + ",position=" + between(chance, 20, 170);
    }

    private static final Set<CauseKind> RUNS_OWN = EnumSet.of(
            CauseKind.CALIBRATION_REJECTED,
            CauseKind.VERIFICATION_FAILED,
            CauseKind.BLANK_HIGH,
            CauseKind.CONTROL_FAILED,
            CauseKind.OVER_RANGE,
            CauseKind.INTERNAL_STANDARD_LOST,
            CauseKind.WEIGHING_IMPOSSIBLE,
            CauseKind.DUPLICATES_DISAGREE,
            CauseKind.MISSING_READING,
            CauseKind.TRUNCATED_RUN,
            CauseKind.REPEATED_FILE);

    private static void others(List<Row> rows) {
        for (CauseKind kind : RUNS_OWN) {
            rows.add(Row.of(OTHERS, kind.phrase() + ", at its usual place and size", chance -> kind.word())
                    .repeated(A_QUARTER));
        }
    }

    private static void two(List<Row> rows) {
        for (boolean same : new boolean[] {true, false}) {
            Function<Random, List<Fault>> faults = chance -> {
                List<Function<Random, String>> some = new ArrayList<>(pairable());
                Function<Random, String> one = some.remove(chance.nextInt(some.size()));
                String first = one.apply(chance);
                // Two kinds, not twice the same; whether they can meet in one run depends on the method.
                for (int tries = 0; tries < 1000; tries++) {
                    String second = some.get(chance.nextInt(some.size())).apply(chance);
                    if (!kind(second).equals(kind(first))
                            && same == method(first).equals(method(second))) {
                        return List.of(
                                Fault.parse(same ? inFirstRun(first) : first),
                                Fault.parse(same ? inFirstRun(second) : second));
                    }
                }
                throw new IllegalStateException("no second fault for " + first);
            };
            rows.add(new Row(
                    TWO,
                    same ? "two kinds of fault in one run" : "two kinds of fault in runs of two methods",
                    "",
                    0,
                    0,
                    Options.defaults(),
                    List.of(),
                    faults,
                    Row.Further.NONE,
                    1,
                    Map.of()));
        }
    }

    // What a probe or a balance does, it does in all runs of the day, the first with them.
    private static String inFirstRun(String fault) {
        return kind(fault).equals(CauseKind.CHANNEL_BIAS.word())
                ? fault
                : fault + ",run="
                        + switch (method(fault)) {
                            case PH -> "PH1-01";
                            case LOSS -> "LOI1-01";
                            default -> "ICP1-01";
                        };
    }

    private static String kind(String fault) {
        return fault.substring(0, fault.indexOf(','));
    }

    private static String method(String fault) {
        for (String part : fault.split(",", -1)) {
            if (part.startsWith("method=")) {
                return part.substring("method=".length());
            }
        }
        return "";
    }

    // Each of these is found nearly always when it is alone.
    private static List<Function<Random, String>> pairable() {
        List<Function<Random, String>> some = new ArrayList<>();
        for (String method : List.of(PH, LOSS, PLASMA)) {
            some.add(chance -> "tray-turned,method=" + method + ",position=" + between(chance, 20, 90));
            some.add(chance -> "trays-exchanged,method=" + method + ",position=" + between(chance, 20, 90));
            some.add(chance -> "run-shifted,method=" + method + ",position=" + between(chance, 150, 180));
        }
        some.add(chance -> "portion-wrong,method=" + PLASMA + ",size=-0.4,position=" + between(chance, 120, 140));
        some.add(chance ->
                "dilution-mismatch,method=" + PLASMA + ",second=no,size=5,position=" + between(chance, 120, 140));
        some.add(chance -> "channel-bias,method=" + PH + ",size=" + sign(chance, 0.1));
        some.add(chance -> "channel-bias,method=" + LOSS + ",size=" + sign(chance, 5));
        some.add(chance -> "standard-wrong,method=" + PLASMA + ",size=" + sign(chance, 0.1));
        some.add(chance -> "drift,method=" + PLASMA + ",total=" + sign(chance, 0.1));
        some.add(chance -> "not-dry,method=" + LOSS + ",length=12,size=0.01,position=" + between(chance, 110, 120));
        return some;
    }

    private static String plasmaRun(Random chance) {
        return List.of("ICP1-01", "ICP2-01", "ICP1-02", "ICP2-02", "ICP1-03").get(chance.nextInt(5));
    }

    private static int inside(Random chance) {
        return between(chance, 20, 190);
    }

    private static int between(Random chance, int from, int to) {
        return from + chance.nextInt(to - from);
    }

    private static double sign(Random chance, double size) {
        return chance.nextBoolean() ? size : -size;
    }
}
