package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
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
        Sheet sheet = new Sheet(plan, faults, chance);
        Plasma plasma = new Plasma(sheet.size());
        if (plan.readShare() < 1) {
            stop(sheet.run, (int) (plan.readShare() * sheet.size()), "still being read");
        }
        for (Fault fault : faults) {
            plant(fault, sheet, plasma);
        }
        return new RunOutcome(
                new Run(
                        plan.run(),
                        METHOD,
                        plan.instrument(),
                        Optional.of(plan.operator()),
                        plan.start(),
                        readings(sheet, plasma, chance)),
                List.copyOf(sheet.run.planted));
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

        Sheet(RunPlan plan, List<Fault> faults, Chance chance) {
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
            double[] content = new double[N];
            for (int e = 0; e < N; e++) {
                content[e] = dirt(e, chance);
            }
            return new Vessel(Role.BLANK, "MB", Optional.empty(), content);
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
            List<Integer> soils = run.positions(v ->
                    v.role == Role.SAMPLE && v.specimen.orElseThrow().material().isEmpty());
            List<Integer> over = new ArrayList<>();
            for (int p : soils) {
                if (excess(run.at(p)) > 1.1) {
                    over.add(p);
                }
            }
            List<Integer> choice = over.isEmpty() || fault.position().isPresent() ? soils : over;
            Vessel vessel = run.at(choice.get(run.nearest(fault, 0.5, choice, 0, choice.size() - 1)));
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
            double factor = fault.size().orElse(1.5) * Element.ALL.get(e).top() / vessel.content[e];
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
        for (int p = 1; p <= Math.min(run.size(), run.lastRead); p++) {
            Vessel vessel = run.at(p);
            common += trend + chance.normal(0, 0.0008);
            boolean solution = vessel.role == Role.STANDARD || vessel.role == Role.VERIFICATION;
            double u = common * (solution ? 1 : 0.97 * chance.factor(0.008));
            long at = start + (p - 1) * POSITION_MILLIS;
            for (int e = 0; e < N; e++) {
                Element element = Element.ALL.get(e);
                double d = vessel.dilution;
                double mgL = vessel.content[e] / d + sheet.lot[e] * (1 - 1 / d);
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

    private static double shown(double rate, Chance chance) {
        double seen = rate * (1 + FLICKER_RSD * chance.normal()) + Math.sqrt(rate / COUNTING_S) * chance.normal();
        return Decimals.places(Math.max(0, seen), seen < 1000 ? 1 : 0);
    }

    private static void plant(Fault fault, Sheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        // A soil that is read a second time may be saved by that; faults of one reading take soils read once.
        List<Integer> samples = run.positions(v -> v.role == Role.SAMPLE && v.standsFor.isEmpty());
        switch (fault.kind()) {
            case CALIBRATION_REJECTED -> {
                double size = fault.size().orElse(-0.3);
                List<String> analytes = analytes(fault, ANALYTES);
                scale(run.at(run.positions(v -> v.identity.equals("WS4")).get(0)), analytes, 1 + size);
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        1,
                        run.size(),
                        size,
                        "the fourth standard holds " + percent(size) + " more than it should");
            }
            case VERIFICATION_FAILED -> {
                double size = fault.size().orElse(-0.22);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> checks = run.positions(EmissionModel::isRunningCheck);
                int at = run.nearest(fault, 0.55, checks, 1, checks.size() - 2);
                scale(run.at(checks.get(at)), analytes, 1 + size);
                run.touched(
                        fault.kind(),
                        analytes,
                        0,
                        checks.get(at - 1) + 1,
                        checks.get(at + 1) - 1,
                        size,
                        "the check at position " + checks.get(at) + " reads " + percent(size) + " off");
            }
            case BLANK_HIGH -> blank(fault, sheet);
            case CONTROL_FAILED -> {
                double size = fault.size().orElse(-0.35);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> controls = run.positions(v -> v.isControl() && v.dilution == 1);
                int at = run.nearest(fault, 0.55, controls, 1, controls.size() - 2);
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
                        "these extracts were shaken too short: " + percent(size) + " of everything");
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
                for (int p = first; p <= last; p++) {
                    plasma.internal[p] = size;
                }
                run.touched(
                        fault.kind(),
                        ANALYTES,
                        0,
                        first,
                        last,
                        size,
                        "air in the internal standard's tube leaves " + percent(size) + " of it");
            }
            case DUPLICATES_DISAGREE -> {
                double size = fault.size().orElse(-0.5);
                List<String> analytes = analytes(fault, ANALYTES);
                List<Integer> duplicates = run.positions(v -> v.role == Role.DUPLICATE && v.dilution == 1);
                Vessel vessel = run.at(duplicates.get(run.nearest(fault, 0.6, duplicates, 0, duplicates.size() - 1)));
                scale(vessel, analytes, 1 + size);
                Faults.oneSoil(
                        run, fault.kind(), analytes, vessel.identity, size, "the second portion is another soil's");
            }
            case MISSING_READING -> {
                int position = samples.get(run.nearest(fault, 0.5, samples, 0, samples.size() - 1));
                run.at(position).incomplete = true;
                run.touched(fault.kind(), List.of("P"), 0, position, position, 1, "one line was never recorded");
            }
            case TRUNCATED_RUN -> {
                int position = samples.get(run.nearest(fault, 0.66, samples, 0, samples.size() - 1));
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
        int lastPass = checks.get(onset);
        boolean failed = false;
        for (int p = checks.get(onset) + 1; p <= run.size(); p++) {
            double off = size * Math.min(DRIFT_CHECKS, Faults.checksSince(checks, onset, p));
            for (String symbol : analytes) {
                plasma.gain[p][Element.indexOf(symbol)] = Math.max(0.02, 1 + off);
            }
            if (!failed && isRunningCheck(run.at(p))) {
                failed = Math.abs(off) > Faults.SOLUTION_TOLERANCE;
                lastPass = failed ? lastPass : p;
            }
        }
        if (!failed) {
            throw run.cannot(fault, "a growth of " + percent(size) + " a check never leaves its limit");
        }
        run.touched(
                fault.kind(),
                analytes,
                0,
                lastPass + 1,
                run.size(),
                size,
                String.join(", ", analytes) + " drift by " + percent(size) + " from check to check after position "
                        + checks.get(onset));
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

    private static String percent(double fraction) {
        return Decimals.places(100 * fraction, 1) + " %";
    }
}
