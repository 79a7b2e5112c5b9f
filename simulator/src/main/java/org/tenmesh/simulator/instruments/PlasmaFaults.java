package org.tenmesh.simulator.instruments;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.bench.Faults;
import org.tenmesh.simulator.bench.Mixup;
import org.tenmesh.simulator.bench.RunSheet;
import org.tenmesh.simulator.bench.Vessel;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Element;

/** What can go wrong in a run of the plasma, planted into its vessels and its state. */
final class PlasmaFaults {
    /** A drift comes to rest after so many checks. */
    private static final int DRIFT_CHECKS = 6;

    private static final int LOST_POSITIONS = 6;
    /** Iron has a line beside boron's (from memory). */
    private static final List<String> INTERFERED = List.of("B");

    private static final String INTERFERING = "Fe";
    private static final double INTERFERENCE_SHARE = 0.001;

    private PlasmaFaults() {}

    /** Plants all faults of a run, those that depend on others last. */
    static void plantAll(List<Fault> faults, PlasmaSheet sheet, Plasma plasma, Chance mishap) {
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
    }

    private static boolean isCheck(Vessel vessel) {
        return vessel.role == Role.VERIFICATION;
    }

    private static boolean isRunningCheck(Vessel vessel) {
        return vessel.identity.equals("CCV");
    }

    /** Whether a fault lies in the vessels before it is known which of them are over range. */
    private static boolean isOfExtraction(CauseKind kind) {
        return Mixup.is(kind)
                || kind == CauseKind.PORTION_WRONG
                || kind == CauseKind.CONTROL_TREND
                || kind == CauseKind.CARRY_OVER
                || kind == CauseKind.INTERFERENCE;
    }

    /** Plants what check solutions, control soils and dilutions may hold; says whether the fault was one of these. */
    private static boolean plantAtLarge(Fault fault, PlasmaSheet sheet, Plasma plasma, Chance mishap) {
        RunSheet run = sheet.run;
        switch (fault.kind()) {
            case STANDARD_WRONG -> {
                double size = fault.size().orElse(0.10);
                List<String> analytes = PlasmaSheet.analytes(fault, Element.SYMBOLS);
                // A standard with nothing in it stays what it is.
                List<Integer> standards = run.positions(v -> v.role == Role.STANDARD && !v.identity.equals("WS1"));
                int position =
                        run.take(fault, (standards.get(1) + 0.5) / run.size(), standards, "standard at position");
                Vessel standard = run.at(position);
                PlasmaSheet.scale(standard, analytes, 1 + size);
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
                        Element.SYMBOLS,
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
                PlasmaSheet.noChannel(fault, run);
                double total = fault.total().getAsDouble();
                List<String> analytes = PlasmaSheet.analytes(fault, List.of("K", "Na"));
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
                && v.gives(Element.SYMBOLS)
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
        List<String> analytes = second ? List.copyOf(vessel.standsFor) : Element.SYMBOLS;
        run.note(
                fault.kind(),
                analytes,
                "",
                List.of(position),
                size,
                "recorded dilution " + vessel.dilution + ", in truth " + vessel.trueDilution());
    }

    private static void carryOver(Fault fault, PlasmaSheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        double size = fault.size().orElse(PlasmaSheet.CARRIED_SHARE);
        List<String> analytes = PlasmaSheet.analytes(fault, PlasmaSheet.CARRIED);
        run.claimAll(fault, "carry-over", analytes, 0);
        List<Integer> changed = new ArrayList<>();
        for (String symbol : analytes) {
            int e = Element.indexOf(symbol);
            plasma.carried[e] = size;
            for (int p = 2; p <= run.size(); p++) {
                Vessel vessel = run.at(p);
                double own = (vessel.content[e] - sheet.lot[e]) / vessel.trueDilution();
                boolean shows = size * sheet.inTube(run.at(p - 1), e) > PlasmaSheet.SHOWN * own;
                if (shows && vessel.gives(List.of(symbol)) && !changed.contains(p)) {
                    changed.add(p);
                }
            }
        }
        if (changed.isEmpty()) {
            throw run.cannot(
                    fault,
                    Faults.percent(size) + " of " + String.join(", ", analytes) + " changes no result by more than "
                            + Faults.percent(PlasmaSheet.SHOWN));
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
                        + Faults.percent(PlasmaSheet.SHOWN));
    }

    private static void interference(Fault fault, PlasmaSheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        PlasmaSheet.noChannel(fault, run);
        double size = fault.size().orElse(INTERFERENCE_SHARE);
        List<String> analytes = PlasmaSheet.analytes(fault, INTERFERED);
        String from = fault.key("from").orElse(INTERFERING);
        int other = Element.indexOf(from);
        if (other < 0 || analytes.contains(from)) {
            throw run.cannot(
                    fault,
                    "found from=" + from + ", expected an element of " + String.join(", ", Element.SYMBOLS)
                            + " other than the analyte");
        }
        if (!(size > 0)) {
            throw run.cannot(fault, "size is what 1 mg/L adds, mg/L above 0, found " + size);
        }
        run.claimAll(fault, "interference", analytes, 0);
        List<Integer> changed = new ArrayList<>();
        for (String symbol : analytes) {
            int e = Element.indexOf(symbol);
            plasma.interfering[e][other] += size;
            double[] line = calibrated(e, other, size);
            for (int p = 1; p <= run.size(); p++) {
                Vessel vessel = run.at(p);
                double own = (vessel.content[e] - sheet.lot[e]) / vessel.trueDilution();
                double read = (sheet.inTube(vessel, e) + size * sheet.inTube(vessel, other) - line[0]) / line[1];
                double blank = (sheet.lot[e] + size * sheet.lot[other] - line[0]) / line[1];
                if (vessel.isSoil()
                        && vessel.gives(List.of(symbol))
                        && Math.abs(read - blank - own) > PlasmaSheet.SHOWN * own
                        && !changed.contains(p)) {
                    changed.add(p);
                }
            }
        }
        if (changed.isEmpty()) {
            throw run.cannot(
                    fault,
                    size + " mg/L for each of " + from + " changes no result of " + String.join(", ", analytes)
                            + " by more than " + Faults.percent(PlasmaSheet.SHOWN));
        }
        changed.sort(Integer::compare);
        run.note(
                fault.kind(),
                analytes,
                "",
                changed,
                size,
                "1 mg/L of " + from + " adds " + size + " mg/L to " + String.join(", ", analytes)
                        + " all along the run, in the standards too; these results change by more than "
                        + Faults.percent(PlasmaSheet.SHOWN));
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

    private static void plant(Fault fault, PlasmaSheet sheet, Plasma plasma) {
        RunSheet run = sheet.run;
        // A soil that is read a second time may be saved by that; faults of one reading take soils read once.
        List<Integer> samples = run.positions(v -> v.role == Role.SAMPLE && v.standsFor.isEmpty());
        PlasmaSheet.noChannel(fault, run);
        switch (fault.kind()) {
            case CALIBRATION_REJECTED -> {
                double size = fault.size().orElse(-0.3);
                List<String> analytes = PlasmaSheet.analytes(fault, Element.SYMBOLS);
                int standard = run.positions(v -> v.identity.equals("WS4")).get(0);
                run.claim(fault, "standard at position", List.of(standard));
                PlasmaSheet.scale(run.at(standard), analytes, 1 + size);
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
                List<String> analytes = PlasmaSheet.analytes(fault, Element.SYMBOLS);
                List<Integer> checks = run.positions(PlasmaFaults::isRunningCheck);
                int at = run.nearest(fault, 0.55, checks, 1, checks.size() - 2);
                run.claim(fault, "check at position", List.of(checks.get(at)));
                PlasmaSheet.scale(run.at(checks.get(at)), analytes, 1 + size);
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
                List<String> analytes = PlasmaSheet.analytes(fault, Element.SYMBOLS);
                List<Integer> controls = run.positions(v -> v.isControl() && v.dilution == 1);
                int at = run.nearest(fault, 0.55, controls, 1, controls.size() - 2);
                run.claim(fault, "control soil at position", List.of(controls.get(at)));
                int first = controls.get(at - 1) + 1;
                int last = controls.get(at + 1) - 1;
                for (int p = first; p <= last; p++) {
                    Vessel vessel = run.at(p);
                    if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                        PlasmaSheet.scale(vessel, analytes, 1 + size);
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
                        Element.SYMBOLS,
                        0,
                        first,
                        last,
                        size,
                        "air in the internal standard's tube leaves " + Faults.percent(size) + " of it");
            }
            case DUPLICATES_DISAGREE -> {
                double size = fault.size().orElse(-0.5);
                List<String> analytes = PlasmaSheet.analytes(fault, Element.SYMBOLS);
                List<Integer> duplicates = run.positions(v -> v.role == Role.DUPLICATE && v.dilution == 1);
                Vessel vessel = run.at(run.take(fault, 0.6, duplicates, "second portion at position"));
                PlasmaSheet.scale(vessel, analytes, 1 + size);
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
    static void stop(RunSheet run, int position, String story) {
        run.stopAfter(position, PlasmaFaults::isCheck, Element.SYMBOLS, story);
        for (int p = position + 1; p <= run.size(); p++) {
            Vessel again = run.at(p);
            if (again.dilution > 1 && again.gives(Element.SYMBOLS)) {
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
                            PlasmaSheet.excess(again),
                            "the run stopped before the second reading");
                }
            }
        }
    }

    private static void blank(Fault fault, PlasmaSheet sheet) {
        RunSheet run = sheet.run;
        double size = fault.size().orElse(3);
        List<String> analytes = PlasmaSheet.analytes(fault, List.of("Zn"));
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
                    run.at(p).content[e] += size * Element.ALL.get(e).lowestMgKg() / Element.ML_PER_G;
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
        List<String> analytes = PlasmaSheet.analytes(fault, List.of("K", "Na"));
        List<Integer> checks = run.positions(PlasmaFaults::isRunningCheck);
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
}
