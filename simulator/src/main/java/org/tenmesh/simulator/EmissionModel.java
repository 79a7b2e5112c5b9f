package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * Mehlich-3 extracts read by plasma emission.
 *
 * <p>A scoop of 1 g goes into 10 mL; each extraction has its own error, common to all elements (how much soil) and for each
 * element. The plasma gives {@code rate = (background + sensitivity x concentration) x u}, where u is common to every line
 * of one reading (how much solution reaches the plasma: it wanders, and extracts carry less than standards) and is seen
 * by the internal standard too. Counting adds shot noise, the source adds flicker, each line drifts a little by itself.
 * Above the highest standard a line bends down.
 */
final class EmissionModel {
    static final String METHOD = "mehlich3-icp";
    static final List<String> ANALYTES =
            Element.ALL.stream().map(Element::symbol).toList();
    /** Extractant for each gram of soil, mL. */
    static final double ML_PER_G = 10;

    private static final int N = Element.ALL.size();
    private static final int SET = 80;
    private static final int CHECK_EVERY = 20;
    private static final double PORTION_RSD = 0.02;
    private static final double RUN_RSD = 0.012;
    private static final double FLICKER_RSD = 0.002;
    private static final double POURING_RSD = 0.0015;
    private static final double COUNTING_S = 5;
    private static final double INTERNAL_RATE = 400_000;
    private static final long POSITION_MILLIS = 24_000;
    /** A drift comes to rest after so many checks. */
    private static final int DRIFT_CHECKS = 6;

    private static final int LOST_POSITIONS = 6;
    /** Boron clings to glass; what is planted when nothing else is asked for. */
    private static final List<String> CARRIED = List.of("B");

    private static final double CARRIED_SHARE = 0.03;
    /** Iron has a line beside boron's (from memory). */
    private static final List<String> FEIGNED = List.of("B");

    private static final String FEIGNED_BY = "Fe";
    private static final double FEIGNED_SHARE = 0.001;
    /** A result is touched by what was carried over or feigned when it changes by more than this share. */
    private static final double SHOWN = 0.2;

    private static final int RICH_SOILS = 3;
    private static final double RICH_SHARE = 0.9;

    private EmissionModel() {}

    /** Contents of the second-source check, the low check and the running check, mg/L, in element order. */
    static double[] solution(String name) {
        double[] values = new double[N];
        for (int e = 0; e < N; e++) {
            double[] standards = Element.ALL.get(e).standards();
            values[e] = switch (name) {
                case "ICV" -> 0.3 * standards[5];
                case "LLC" -> 0.5 * standards[1];
                case "CCV" -> standards[3];
                default -> standards[name.charAt(2) - '1'];
            };
        }
        return values;
    }

    /** Spread of single results of one soil between runs, mg/kg. */
    static double totalSd(Element element, double mgKg) {
        double rate = element.background() + element.perMgL() * mgKg / ML_PER_G;
        double counting = Math.sqrt(rate / COUNTING_S) / element.perMgL() * ML_PER_G;
        double blank = element.blankSdMgL() * ML_PER_G;
        double relative =
                PORTION_RSD * PORTION_RSD + element.extractionRsd() * element.extractionRsd() + RUN_RSD * RUN_RSD;
        return Math.sqrt(relative * mgKg * mgKg + counting * counting + blank * blank);
    }

    static RunOutcome read(RunPlan plan, long seed, List<Fault> faults) {
        Chance chance = new Chance(seed, plan.run());
        Chance mishap = new Chance(seed, plan.run() + " mishaps");
        Sheet sheet = new Sheet(plan, faults, chance, mishap);
        Plasma plasma = new Plasma(sheet.size());
        if (plan.readShare() < 1) {
            stop(sheet.run, (int) (plan.readShare() * sheet.size()), "still being read");
        }
        for (Fault fault : faults) {
            if (!isOfExtraction(fault.kind()) && !plantAtLarge(fault, sheet, plasma, mishap)) {
                plant(fault, sheet, plasma);
            }
        }
        for (Fault fault : faults) {
            if (fault.kind() == CauseKind.INTERFERENCE) {
                interference(fault, sheet, plasma);
            }
        }
        // What shows in the next reading depends on all that has gone wrong before.
        for (Fault fault : faults) {
            if (fault.kind() == CauseKind.CARRY_OVER) {
                carryOver(fault, sheet, plasma);
            }
        }
        return new RunOutcome(
                new Run(
                        plan.run(),
                        METHOD,
                        plan.instrument(),
                        Optional.of(plan.operator()),
                        plan.start(),
                        readings(sheet, plasma, chance)),
                sheet.run.truth());
    }

    private static boolean isCheck(Vessel vessel) {
        return vessel.role == Role.VERIFICATION;
    }

    private static boolean isRunningCheck(Vessel vessel) {
        return vessel.identity.equals("CCV");
    }

    /** How far a reading is above range: undiluted content over the highest standard, of the worst element. */
    private static double excess(Vessel vessel) {
        double worst = 0;
        for (int e = 0; e < N; e++) {
            worst = Math.max(worst, vessel.content[e] / Element.ALL.get(e).top());
        }
        return worst;
    }

    /** The vessels of a plasma run. */
    private static final class Sheet {
        final RunSheet run;
        final double[] lot = new double[N];
        /** For every position the extraction set it belongs to, 0 = none. */
        final List<Integer> sets = new ArrayList<>();

        private int sinceCheck;

        Sheet(RunPlan plan, List<Fault> faults, Chance chance, Chance mishap) {
            run = new RunSheet(plan);
            for (int e = 0; e < N; e++) {
                lot[e] = Element.ALL.get(e).blankMgL() * chance.factor(0.2);
            }
            for (int i = 1; i <= 6; i++) {
                solution(Role.STANDARD, "WS" + i, chance);
            }
            solution(Role.VERIFICATION, "ICV", chance);
            solution(Role.VERIFICATION, "LLC", chance);
            solution(Role.VERIFICATION, "CCV", chance);
            sinceCheck = 0;
            List<Specimen> specimens = plan.specimens();
            int count = Math.max(1, (specimens.size() + SET - 1) / SET);
            int material = chance.between(0, ControlSoil.ALL.size() - 1);
            for (int set = 1; set <= count; set++) {
                List<Specimen> mine =
                        specimens.subList(specimens.size() * (set - 1) / count, specimens.size() * set / count);
                add(blank(chance), set, chance);
                add(blank(chance), set, chance);
                ControlSoil soil = ControlSoil.ALL.get(material++ % ControlSoil.ALL.size());
                add(
                        new Vessel(Role.CONTROL, soil.name(), Optional.empty(), extract(soil.content(), chance)),
                        set,
                        chance);
                for (Vessel vessel : RunSheet.soils(mine, chance)) {
                    vessel.content = extract(vessel.specimen.orElseThrow().content(), chance);
                    add(vessel, set, chance);
                }
                add(blank(chance), set, chance);
            }
            faults.stream()
                    .filter(fault -> fault.kind() == CauseKind.CARRY_OVER)
                    .forEach(this::enrich);
            new Mixup(
                            run,
                            ANALYTES,
                            specimen -> extract(specimen.content(), mishap),
                            () -> clean(mishap),
                            EmissionModel::unlike)
                    .plant(faults);
            faults.forEach(this::portion);
            List<String> forgotten = new ArrayList<>();
            for (Fault fault : faults) {
                if (fault.kind() == CauseKind.OVER_RANGE) {
                    forgotten.add(forget(fault));
                }
            }
            for (Vessel vessel : List.copyOf(run.vessels)) {
                // A reading within 3 % of the highest standard may come out above it, so it is read again as well.
                if (vessel.isSoil() && excess(vessel) > 0.97 && !forgotten.contains(vessel.identity)) {
                    Vessel again = new Vessel(vessel.role, vessel.identity, vessel.specimen, vessel.content);
                    again.holds = vessel.holds;
                    again.dilution = excess(vessel) < 4.5 ? 5 : 10;
                    share(vessel, again);
                    add(again, 0, chance);
                }
            }
            if (sinceCheck > 0) {
                solution(Role.VERIFICATION, "CCV", chance);
                sets.add(0);
            }
            run.vessels.add(blank(chance));
        }

        private void add(Vessel vessel, int set, Chance chance) {
            run.vessels.add(vessel);
            while (sets.size() < run.size()) {
                sets.add(set);
            }
            if (++sinceCheck == CHECK_EVERY) {
                solution(Role.VERIFICATION, "CCV", chance);
                sets.add(0);
                sinceCheck = 0;
            }
        }

        private void solution(Role role, String name, Chance chance) {
            // Pouring and pipetting: one error for the whole flask.
            double poured = chance.factor(POURING_RSD);
            double[] content = EmissionModel.solution(name);
            for (int e = 0; e < N; e++) {
                content[e] *= poured;
            }
            run.vessels.add(new Vessel(role, name, Optional.empty(), content));
        }

        private Vessel blank(Chance chance) {
            return new Vessel(Role.BLANK, "MB", Optional.empty(), clean(chance));
        }

        private double[] clean(Chance chance) {
            double[] content = new double[N];
            for (int e = 0; e < N; e++) {
                content[e] = dirt(e, chance);
            }
            return content;
        }

        /** Soils so rich that they show in the next one, where the run has too few; their true contents rise with them. */
        private void enrich(Fault fault) {
            List<String> analytes = analytes(fault, CARRIED);
            double size = fault.size().orElse(CARRIED_SHARE);
            List<Integer> poor = run.ordinarySoils().stream()
                    .filter(p -> p > 1 && isOrdinary(run.at(p - 1)))
                    .toList();
            long shown = poor.stream()
                    .filter(p -> analytes.stream()
                            .mapToInt(Element::indexOf)
                            .anyMatch(e -> size * run.at(p - 1).content[e] > SHOWN * run.at(p).content[e]))
                    .count();
            for (int i = 0; i < RICH_SOILS && shown < RICH_SOILS && !poor.isEmpty(); i++) {
                int p = poor.get((int) (poor.size() * (i + 0.5) / RICH_SOILS));
                for (String symbol : analytes) {
                    raise(run.at(p - 1), Element.indexOf(symbol), RICH_SHARE);
                }
            }
        }

        private static boolean isOrdinary(Vessel vessel) {
            return vessel.role == Role.SAMPLE
                    && vessel.specimen.orElseThrow().material().isEmpty();
        }

        /** A portion of one soil that is too large or too small, before anything is read. */
        private void portion(Fault fault) {
            if (fault.kind() == CauseKind.PORTION_WRONG) {
                double size = fault.size().orElse(0.4);
                if (size <= -1) {
                    throw run.cannot(fault, "size is a share of the portion above -1, found " + size);
                }
                int position = run.take(fault, 0.35, run.ordinarySoils(), "portion at position");
                Vessel vessel = run.at(position);
                vessel.content = vessel.content.clone();
                scale(vessel, ANALYTES, 1 + size);
                run.note(
                        fault.kind(),
                        ANALYTES,
                        "",
                        List.of(position),
                        size,
                        "the scoop of this soil held " + Faults.percent(size) + " more than it should");
            } else if (fault.kind() == CauseKind.CONTROL_TREND) {
                double size = fault.size().orElse(-2);
                List<String> analytes = analytes(fault, List.of("P"));
                double[] progress = run.progress(fault.run().isEmpty());
                run.claimAll(fault, "trend", analytes, 0);
                for (int p = 1; p <= run.size(); p++) {
                    Vessel vessel = run.at(p);
                    if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                        for (String symbol : analytes) {
                            int e = Element.indexOf(symbol);
                            double mgKg = vessel.content[e] * ML_PER_G;
                            double crept = progress[p] * size * totalSd(Element.ALL.get(e), mgKg);
                            vessel.content[e] = Math.max(0, (mgKg + crept) / ML_PER_G);
                        }
                    }
                }
                run.noteLateHalf(
                        fault,
                        analytes,
                        0,
                        progress,
                        size,
                        "the extractant spoils: " + String.join(", ", analytes) + " creep by " + size
                                + " standard deviations");
            }
        }

        private double dirt(int e, Chance chance) {
            return Math.max(0, lot[e] + Element.ALL.get(e).blankSdMgL() * chance.normal());
        }

        private double[] extract(SoilContent soil, Chance chance) {
            double[] content = new double[N];
            double scoop = chance.factor(PORTION_RSD);
            for (int e = 0; e < N; e++) {
                double own = chance.factor(Element.ALL.get(e).extractionRsd());
                content[e] = soil.mgKg()[e] / ML_PER_G * scoop * own + dirt(e, chance);
            }
            return content;
        }

        private static void share(Vessel first, Vessel again) {
            Set<String> over = new TreeSet<>();
            Set<String> inRange = new TreeSet<>();
            for (int e = 0; e < N; e++) {
                Element element = Element.ALL.get(e);
                (first.content[e] > element.top() ? over : inRange).add(element.symbol());
            }
            first.standsFor = inRange;
            // When nothing came out above range after all, the second reading gives nothing.
            again.standsFor = over.isEmpty() ? Set.of("none") : over;
        }

        /** Picks an over-range soil that nobody reads again, or makes one; returns its lab number. */
        private String forget(Fault fault) {
            List<Integer> soils = run.ordinarySoils().stream()
                    .filter(p -> run.at(p).holds.equals(run.at(p).specimen))
                    .toList();
            List<Integer> over = new ArrayList<>();
            for (int p : soils) {
                if (excess(run.at(p)) > 1.1) {
                    over.add(p);
                }
            }
            List<Integer> choice = over.isEmpty() || fault.position().isPresent() ? soils : over;
            Vessel vessel = run.at(run.take(fault, 0.5, choice, "over-range soil at position"));
            if (excess(vessel) <= 1.1) {
                raise(fault, vessel);
            }
            List<String> analytes = new ArrayList<>();
            for (int e = 0; e < N; e++) {
                if (vessel.content[e] > Element.ALL.get(e).top()) {
                    analytes.add(Element.ALL.get(e).symbol());
                }
            }
            Faults.oneSoil(
                    run,
                    fault.kind(),
                    analytes,
                    vessel.identity,
                    excess(vessel),
                    "nobody diluted it and read it again");
            return vessel.identity;
        }

        private void raise(Fault fault, Vessel vessel) {
            int e = Element.indexOf(
                    fault.analytes().isEmpty() ? "Ca" : fault.analytes().get(0));
            raise(vessel, e, fault.size().orElse(1.5));
        }

        /** Raises an element of a soil, in truth and in all its vessels, to a multiple of the highest standard. */
        private void raise(Vessel vessel, int e, double multiple) {
            double factor = multiple * Element.ALL.get(e).top() / vessel.content[e];
            SoilContent soil = vessel.specimen.orElseThrow().content();
            soil.mgKg()[e] *= factor;
            for (Vessel other : run.vessels) {
                if (other.identity.equals(vessel.identity)) {
                    other.content[e] *= factor;
                }
            }
        }

        int size() {
            return run.size();
        }
    }

    /** State of the plasma along the run; faults change it. */
    private static final class Plasma {
        final double[][] gain;
        final double[] internal;
        /** Share of what was read before that shows in a reading. */
        final double[] carried = new double[N];
        /** By line, then by element: mg/L that 1 mg/L of the element feigns on the line. */
        final double[][] feigned = new double[N][N];

        Plasma(int size) {
            gain = new double[size + 1][N];
            internal = new double[size + 1];
            Arrays.fill(internal, 1);
            for (double[] row : gain) {
                Arrays.fill(row, 1);
            }
        }
    }

    private static Readings readings(Sheet sheet, Plasma plasma, Chance chance) {
        RunSheet run = sheet.run;
        Readings.Builder rows = Readings.builder();
        long start = run.plan.start().toInstant().toEpochMilli();
        int offset = run.plan.start().getOffset().getTotalSeconds();
        double common = chance.normal(1, 0.05, 0.85, 1.15);
        double trend = chance.normal(0, 0.04, -0.08, 0.08) / run.size();
        double[] own = new double[N];
        for (int e = 0; e < N; e++) {
            own[e] = chance.normal(0, 0.006, -0.014, 0.014) / run.size();
        }
        double[] before = new double[N];
        for (int p = 1; p <= Math.min(run.size(), run.lastRead); p++) {
            Vessel vessel = run.at(p);
            common += trend + chance.normal(0, 0.0008);
            boolean solution = vessel.role == Role.STANDARD || vessel.role == Role.VERIFICATION;
            double u = common * (solution ? 1 : 0.97 * chance.factor(0.008));
            long at = start + (p - 1) * POSITION_MILLIS;
            for (int e = 0; e < N; e++) {
                Element element = Element.ALL.get(e);
                double d = vessel.dilution;
                double inTube = inTube(sheet, vessel, e);
                double mgL = inTube + plasma.carried[e] * before[e] + feigned(sheet, plasma, vessel, e);
                before[e] = inTube;
                if (mgL > element.top()) {
                    mgL = element.top() + 0.9 * (mgL - element.top());
                }
                double rate =
                        (element.background() + element.perMgL() * mgL * plasma.gain[p][e] * (1 + own[e] * p)) * u;
                if (!vessel.incomplete || e > 0) {
                    rows.add(
                            p,
                            vessel.role,
                            vessel.identity,
                            "",
                            element.line(),
                            shown(rate, chance),
                            Unit.PER_SECOND,
                            at,
                            offset,
                            d);
                }
            }
            double internal = INTERNAL_RATE * u * plasma.internal[p];
            rows.add(
                    p,
                    vessel.role,
                    vessel.identity,
                    "",
                    Element.INTERNAL_STANDARD,
                    shown(internal, chance),
                    Unit.PER_SECOND,
                    at,
                    offset,
                    vessel.dilution);
        }
        return rows.build();
    }

    /** What is in the tube, mg/L: extractant makes up what a dilution takes away. */
    private static double inTube(Sheet sheet, Vessel vessel, int e) {
        double d = vessel.trueDilution();
        return vessel.content[e] / d + sheet.lot[e] * (1 - 1 / d);
    }

    private static double shown(double rate, Chance chance) {
        double seen = rate * (1 + FLICKER_RSD * chance.normal()) + Math.sqrt(rate / COUNTING_S) * chance.normal();
        return Decimals.places(Math.max(0, seen), seen < 1000 ? 1 : 0);
    }

    /** Whether a fault lies in the vessels before it is known which of them are over range. */
    private static boolean isOfExtraction(CauseKind kind) {
        return Mixup.is(kind)
                || kind == CauseKind.PORTION_WRONG
                || kind == CauseKind.CONTROL_TREND
                || kind == CauseKind.CARRY_OVER
                || kind == CauseKind.INTERFERENCE;
    }

    /** How unlike two soils are: root mean square of the logarithms of their ratios. */
    private static double unlike(SoilContent one, SoilContent other) {
        double sum = 0;
        for (int e = 0; e < N; e++) {
            double log = StrictMath.log(one.mgKg()[e] / other.mgKg()[e]);
            sum += log * log;
        }
        return Math.sqrt(sum / N);
    }

    private static void noChannel(Fault fault, RunSheet run) {
        if (fault.channel().isPresent()) {
            throw run.cannot(fault, "a plasma has one detector, found key \"channel\"");
        }
    }

    /** Plants what known solutions, control soils and dilutions may hold; says whether the fault was one of these. */
    private static boolean plantAtLarge(Fault fault, Sheet sheet, Plasma plasma, Chance mishap) {
        RunSheet run = sheet.run;
        switch (fault.kind()) {
            case STANDARD_WRONG -> {
                double size = fault.size().orElse(0.10);
                List<String> analytes = analytes(fault, ANALYTES);
                // A standard with nothing in it stays what it is.
                List<Integer> standards = run.positions(v -> v.role == Role.STANDARD && !v.identity.equals("WS1"));
                int position =
                        run.take(fault, (standards.get(1) + 0.5) / run.size(), standards, "standard at position");
                Vessel standard = run.at(position);
                scale(standard, analytes, 1 + size);
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        1,
                        run.size(),
                        size,
                        standard.identity + " holds " + Faults.percent(size) + " more than its label says");
            }
            case CONTROL_MATERIAL_MISTAKEN -> {
                List<Integer> controls = run.positions(
                        v -> v.role == Role.CONTROL && v.dilution == 1 && Faults.canBeMistaken(fault, v.identity));
                int position = run.take(fault, 0.5, controls, "control soil at position");
                Vessel vessel = run.at(position);
                ControlSoil other = Faults.mistakenFor(fault, vessel.identity);
                vessel.content = sheet.extract(other.content(), mishap);
                run.note(
                        fault.kind(),
                        ANALYTES,
                        "",
                        List.of(position),
                        1,
                        "the extract of " + vessel.identity + " is of " + other.name());
            }
            case DILUTION_MISMATCH -> dilution(fault, run);
            case DRIFT -> {
                if (fault.total().isEmpty()) {
                    return false;
                }
                noChannel(fault, run);
                double total = fault.total().getAsDouble();
                List<String> analytes = analytes(fault, List.of("K", "Na"));
                run.claimAll(fault, "drift", analytes, 0);
                double[] progress = run.progress(false);
                for (int p = 1; p <= run.size(); p++) {
                    for (String symbol : analytes) {
                        plasma.gain[p][Element.indexOf(symbol)] *= Math.max(0.02, 1 + total * progress[p]);
                    }
                }
                run.noteLateHalf(
                        fault,
                        analytes,
                        0,
                        progress,
                        total,
                        String.join(", ", analytes) + " drift by " + Faults.percent(total)
                                + " from the first soil to the end");
            }
            default -> {
                return false;
            }
        }
        return true;
    }

    private static void dilution(Fault fault, RunSheet run) {
        double size = fault.size().orElse(2);
        List<Integer> again = run.positions(v -> v.role == Role.SAMPLE
                && v.dilution > 1
                && v.gives(ANALYTES)
                && v.specimen.orElseThrow().material().isEmpty());
        boolean second = fault.key("second").map("yes"::equals).orElse(!again.isEmpty());
        if (second && again.isEmpty()) {
            throw run.cannot(fault, "no soil of the run is read a second time diluted");
        }
        List<Integer> candidates = second ? again : run.ordinarySoils();
        int position = run.take(fault, 0.4, candidates, "dilution at position");
        Vessel vessel = run.at(position);
        if (!(vessel.dilution * size >= 1) || size == 1) {
            throw run.cannot(
                    fault,
                    "size is the true dilution over the recorded one of " + vessel.dilution
                            + ", the product at least 1, found " + size);
        }
        vessel.dilutedBeyond = size;
        List<String> analytes = second ? List.copyOf(vessel.standsFor) : ANALYTES;
        run.note(
                fault.kind(),
                analytes,
                "",
                List.of(position),
                size,
                "recorded dilution " + vessel.dilution + ", in truth " + vessel.trueDilution());
    }

    private static void carryOver(Fault fault, Sheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        double size = fault.size().orElse(CARRIED_SHARE);
        List<String> analytes = analytes(fault, CARRIED);
        run.claimAll(fault, "carry-over", analytes, 0);
        List<Integer> changed = new ArrayList<>();
        for (String symbol : analytes) {
            int e = Element.indexOf(symbol);
            plasma.carried[e] = size;
            for (int p = 2; p <= run.size(); p++) {
                Vessel vessel = run.at(p);
                double own = (vessel.content[e] - sheet.lot[e]) / vessel.trueDilution();
                boolean shows = size * inTube(sheet, run.at(p - 1), e) > SHOWN * own;
                if (shows && vessel.gives(List.of(symbol)) && !changed.contains(p)) {
                    changed.add(p);
                }
            }
        }
        if (changed.isEmpty()) {
            throw run.cannot(
                    fault,
                    Faults.percent(size) + " of " + String.join(", ", analytes) + " changes no result by more than "
                            + Faults.percent(SHOWN));
        }
        changed.sort(Integer::compare);
        run.note(
                fault.kind(),
                analytes,
                "",
                changed,
                size,
                Faults.percent(size) + " of " + String.join(", ", analytes)
                        + " stays in the tube for the next reading, all along the run; these results change by more than "
                        + Faults.percent(SHOWN));
    }

    /** What all other elements of a tube feign on a line, mg/L. */
    private static double feigned(Sheet sheet, Plasma plasma, Vessel vessel, int line) {
        double sum = 0;
        for (int e = 0; e < N; e++) {
            double share = plasma.feigned[line][e];
            sum += share == 0 ? 0 : share * inTube(sheet, vessel, e);
        }
        return sum;
    }

    private static void interference(Fault fault, Sheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        noChannel(fault, run);
        double size = fault.size().orElse(FEIGNED_SHARE);
        List<String> analytes = analytes(fault, FEIGNED);
        String from = fault.key("from").orElse(FEIGNED_BY);
        int other = Element.indexOf(from);
        if (other < 0 || analytes.contains(from)) {
            throw run.cannot(
                    fault,
                    "found from=" + from + ", expected an element of " + String.join(", ", ANALYTES)
                            + " other than the analyte");
        }
        if (!(size > 0)) {
            throw run.cannot(fault, "size is what 1 mg/L feigns, mg/L above 0, found " + size);
        }
        run.claimAll(fault, "interference", analytes, 0);
        List<Integer> changed = new ArrayList<>();
        for (String symbol : analytes) {
            int e = Element.indexOf(symbol);
            plasma.feigned[e][other] += size;
            double[] line = calibrated(e, other, size);
            for (int p = 1; p <= run.size(); p++) {
                Vessel vessel = run.at(p);
                double own = (vessel.content[e] - sheet.lot[e]) / vessel.trueDilution();
                double read = (inTube(sheet, vessel, e) + size * inTube(sheet, vessel, other) - line[0]) / line[1];
                double blank = (sheet.lot[e] + size * sheet.lot[other] - line[0]) / line[1];
                if (vessel.isSoil()
                        && vessel.gives(List.of(symbol))
                        && Math.abs(read - blank - own) > SHOWN * own
                        && !changed.contains(p)) {
                    changed.add(p);
                }
            }
        }
        if (changed.isEmpty()) {
            throw run.cannot(
                    fault,
                    size + " mg/L for each of " + from + " changes no result of " + String.join(", ", analytes)
                            + " by more than " + Faults.percent(SHOWN));
        }
        changed.sort(Integer::compare);
        run.note(
                fault.kind(),
                analytes,
                "",
                changed,
                size,
                "1 mg/L of " + from + " feigns " + size + " mg/L of " + String.join(", ", analytes)
                        + " all along the run, in the standards too; these results change by more than "
                        + Faults.percent(SHOWN));
    }

    /** Where a line begins and how steep it is when the standards hold the other element too: weighted by one over the content. */
    private static double[] calibrated(int e, int other, double share) {
        double[] x = Element.ALL.get(e).standards();
        double[] others = Element.ALL.get(other).standards();
        double sw = 0;
        double sx = 0;
        double sy = 0;
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < x.length; i++) {
            double w = 1 / Math.max(x[i], x[1]);
            double y = x[i] + share * others[i];
            sw += w;
            sx += w * x[i];
            sy += w * y;
            sxx += w * x[i] * x[i];
            sxy += w * x[i] * y;
        }
        double slope = (sw * sxy - sx * sy) / (sw * sxx - sx * sx);
        return new double[] {(sy - slope * sx) / sw, slope};
    }

    private static void plant(Fault fault, Sheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        // A soil that is read a second time may be saved by that; faults of one reading take soils read once.
        List<Integer> samples = run.positions(v -> v.role == Role.SAMPLE && v.standsFor.isEmpty());
        noChannel(fault, run);
        switch (fault.kind()) {
            case CALIBRATION_REJECTED -> {
                double size = fault.size().orElse(-0.3);
                List<String> analytes = analytes(fault, ANALYTES);
                int standard = run.positions(v -> v.identity.equals("WS4")).get(0);
                run.claim(fault, "standard at position", List.of(standard));
                scale(run.at(standard), analytes, 1 + size);
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        1,
                        run.size(),
                        size,
                        "the fourth standard holds " + Faults.percent(size) + " more than it should");
            }
            case VERIFICATION_FAILED -> {
                double size = fault.size().orElse(-0.22);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> checks = run.positions(EmissionModel::isRunningCheck);
                int at = run.nearest(fault, 0.55, checks, 1, checks.size() - 2);
                run.claim(fault, "check at position", List.of(checks.get(at)));
                scale(run.at(checks.get(at)), analytes, 1 + size);
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        checks.get(at - 1) + 1,
                        checks.get(at + 1) - 1,
                        size,
                        "the check at position " + checks.get(at) + " reads " + Faults.percent(size) + " off");
            }
            case BLANK_HIGH -> blank(fault, sheet);
            case CONTROL_FAILED -> {
                double size = fault.size().orElse(-0.35);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> controls = run.positions(v -> v.isControl() && v.dilution == 1);
                int at = run.nearest(fault, 0.55, controls, 1, controls.size() - 2);
                run.claim(fault, "control soil at position", List.of(controls.get(at)));
                int first = controls.get(at - 1) + 1;
                int last = controls.get(at + 1) - 1;
                for (int p = first; p <= last; p++) {
                    Vessel vessel = run.at(p);
                    if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                        scale(vessel, analytes, 1 + size);
                    }
                }
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        first,
                        last,
                        size,
                        "these extracts were shaken too short: " + Faults.percent(size) + " of everything");
            }
            case DRIFT -> drift(fault, run, plasma);
            case OVER_RANGE -> {
                // Planted while the vessels were lined up: it decides what is read again.
            }
            case INTERNAL_STANDARD_LOST -> {
                double size = fault.size().orElse(0.3);
                int at = run.nearest(fault, 0.7, samples, 0, samples.size() - 1);
                int first = samples.get(at);
                int last = first;
                while (last < run.size()
                        && run.at(last + 1).isSoil()
                        && run.at(last + 1).standsFor.isEmpty()
                        && last - first + 1 < LOST_POSITIONS) {
                    last++;
                }
                run.claim(
                        fault,
                        "internal standard at position",
                        IntStream.rangeClosed(first, last).boxed().toList());
                for (int p = first; p <= last; p++) {
                    plasma.internal[p] *= size;
                }
                run.touched(
                        fault.kind(),
                        ANALYTES,
                        0,
                        first,
                        last,
                        size,
                        "air in the internal standard's tube leaves " + Faults.percent(size) + " of it");
            }
            case DUPLICATES_DISAGREE -> {
                double size = fault.size().orElse(-0.5);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> duplicates = run.positions(v -> v.role == Role.DUPLICATE && v.dilution == 1);
                Vessel vessel = run.at(run.take(fault, 0.6, duplicates, "second portion at position"));
                scale(vessel, analytes, 1 + size);
                Faults.oneSoil(
                        run, fault.kind(), analytes, vessel.identity, size, "the second portion is another soil's");
            }
            case MISSING_READING -> {
                int position = run.take(fault, 0.5, samples, "missing reading at position");
                run.at(position).incomplete = true;
                run.touched(fault.kind(), List.of("P"), 0, position, position, 1, "one line was never recorded");
            }
            case TRUNCATED_RUN -> {
                int position = samples.get(run.nearest(fault, 0.66, samples, 0, samples.size() - 1));
                run.claim(fault, "end of run", List.of(1));
                stop(run, position, "the plasma went out");
            }
            default -> throw run.cannot(fault, "nothing of a plasma run can fail so");
        }
    }

    /** Stops the run; extracts that were to be diluted and read again after it stay over range. */
    private static void stop(RunSheet run, int position, String story) {
        run.stopAfter(position, EmissionModel::isCheck, ANALYTES, story);
        for (int p = position + 1; p <= run.size(); p++) {
            Vessel again = run.at(p);
            if (again.dilution > 1 && again.gives(ANALYTES)) {
                int first = run.firstPosition(again.identity);
                if (first <= position) {
                    List<String> over = List.copyOf(again.standsFor);
                    run.at(first).standsFor = Set.of();
                    run.touched(
                            CauseKind.OVER_RANGE,
                            over,
                            0,
                            first,
                            first,
                            excess(again),
                            "the run stopped before the second reading");
                }
            }
        }
    }

    private static void blank(Fault fault, Sheet sheet) {
        RunSheet run = sheet.run;
        double size = fault.size().orElse(3);
        List<String> analytes = analytes(fault, List.of("Zn"));
        int set = Math.max(1, sheet.sets.get(run.wish(fault, 0.5) - 1));
        run.claim(fault, "blanks of extraction", List.of(set));
        List<Integer> blanks = run.positions(v -> v.role == Role.BLANK);
        int lastPass = 0;
        int nextPass = run.size() + 1;
        // Before the first soil a blank is a gate: when it is high the whole run waits.
        boolean gate = set == 1;
        for (int p : blanks) {
            int itsSet = p <= sheet.sets.size() ? sheet.sets.get(p - 1) : 0;
            if (itsSet == set) {
                for (String symbol : analytes) {
                    int e = Element.indexOf(symbol);
                    run.at(p).content[e] += size * Element.ALL.get(e).lowestMgKg() / ML_PER_G;
                }
            } else if (itsSet != 0 && itsSet < set) {
                lastPass = p;
            } else if (!gate) {
                nextPass = Math.min(nextPass, p);
            }
        }
        run.touched(
                fault.kind(),
                analytes,
                0,
                lastPass + 1,
                nextPass - 1,
                size,
                "the blank vessels of extraction " + set + " were not clean: " + size
                        + " times the lowest working value of " + String.join(", ", analytes));
    }

    private static void drift(Fault fault, RunSheet run, Plasma plasma) {
        double size = fault.size().orElse(0.04);
        List<String> analytes = analytes(fault, List.of("K", "Na"));
        List<Integer> checks = run.positions(EmissionModel::isRunningCheck);
        int onset = run.nearest(fault, 0.12, checks, 0, checks.size() - 4);
        run.claimAll(fault, "drift", analytes, 0);
        int lastPass = checks.get(onset);
        boolean failed = false;
        for (int p = checks.get(onset) + 1; p <= run.size(); p++) {
            double off = size * Math.min(DRIFT_CHECKS, Faults.checksSince(checks, onset, p));
            for (String symbol : analytes) {
                plasma.gain[p][Element.indexOf(symbol)] *= Math.max(0.02, 1 + off);
            }
            if (!failed && isRunningCheck(run.at(p))) {
                failed = Math.abs(off) > Faults.SOLUTION_TOLERANCE;
                lastPass = failed ? lastPass : p;
            }
        }
        if (!failed) {
            throw run.cannot(fault, "a growth of " + Faults.percent(size) + " a check never leaves its limit");
        }
        run.touched(
                fault.kind(),
                analytes,
                0,
                lastPass + 1,
                run.size(),
                size,
                String.join(", ", analytes) + " drift by " + Faults.percent(size)
                        + " from check to check after position " + checks.get(onset));
    }

    private static void scale(Vessel vessel, List<String> analytes, double factor) {
        for (String symbol : analytes) {
            vessel.content[Element.indexOf(symbol)] *= factor;
        }
    }

    private static List<String> analytes(Fault fault, List<String> usual) {
        for (String symbol : fault.analytes()) {
            if (Element.indexOf(symbol) < 0) {
                throw new IllegalArgumentException("fault " + fault.kind().word() + ": found analyte \"" + symbol
                        + "\", expected one of " + String.join(", ", ANALYTES));
            }
        }
        return fault.analytes().isEmpty() ? usual : fault.analytes();
    }
}
