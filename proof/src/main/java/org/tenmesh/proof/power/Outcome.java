package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.soils.KnownSoils;

/**
 * What became of one planted fault.
 *
 * @param kind what was planted
 * @param method in whose runs
 * @param found whether a cause touches one in ten or more of the determinations it changed (at least one), stands where the
 *     standards or control soils are that it changed, or names it
 * @param named whether a cause of its kind stands at its place
 * @param told {@code named}, or a cause of another kind stands there and says that the planted kind is within 10:1
 * @param extent whether causes of its kind touch the soils it touched and no others; of what creeps along a run, all of them
 * @param held share of the determinations it changed that are not fit, for whatever cause
 * @param further answer to {@link Row.Further}; empty where it was not asked or has none
 * @param log10Odds of the planted exchange against everything in its place, whether the judge spoke or not
 * @param byRegression the same of a turned tray by {@link PlainRegression}
 * @param plain whether it was a tray of twelve clients' soils and nothing else
 * @param beside causes elsewhere
 * @param redoBeside of those, the ones that ask to make soils again
 * @param instead what was said instead, where it was not named
 */
record Outcome(
        CauseKind kind,
        String method,
        boolean found,
        boolean named,
        boolean told,
        boolean extent,
        double held,
        Optional<Boolean> further,
        OptionalDouble log10Odds,
        OptionalDouble byRegression,
        boolean plain,
        int beside,
        int redoBeside,
        String instead) {
    /** What is wrong with a run, its standards or its control soils as a whole, and begins and ends softly. */
    private static final Set<CauseKind> CREEPING = EnumSet.of(
            CauseKind.DRIFT,
            CauseKind.STANDARD_WRONG,
            CauseKind.CONTROL_TREND,
            CauseKind.CONTROL_FAILED,
            CauseKind.CARRY_OVER,
            CauseKind.CALIBRATION_REJECTED,
            CauseKind.VERIFICATION_FAILED,
            CauseKind.BLANK_HIGH,
            CauseKind.TRUNCATED_RUN,
            CauseKind.REPEATED_FILE);

    private static final Set<CauseKind> EXCHANGES =
            EnumSet.of(CauseKind.TRAY_TURNED, CauseKind.TRAYS_EXCHANGED, CauseKind.NEIGHBOURS_EXCHANGED);
    /** Share of the planted soils that a cause must touch to stand at their place, and of others that it may touch besides. */
    private static final double MOST = 0.8;

    private static final double FEW = 0.25;
    private static final double SHORT_OF_THE_END = 0.9;

    /** One planted fault: its rows of the truth, one for each run. */
    private record Plant(CauseKind kind, List<Planted> rows) {
        Set<String> labs() {
            Set<String> labs = new HashSet<>();
            rows.forEach(row -> row.labNumbers().forEach(lab -> labs.add(lab.text())));
            return labs;
        }

        Set<String> runs() {
            Set<String> runs = new HashSet<>();
            rows.forEach(row -> runs.add(row.run()));
            return runs;
        }

        boolean changes(Result result) {
            return rows.stream()
                    .anyMatch(row -> row.run().equals(result.run())
                            && row.analytes().contains(result.analyte())
                            && row.labNumbers().contains(result.labNumber()));
        }
    }

    /** The planted determinations and all soils that a cause touches. */
    private static final class Touch {
        int changed;
        final Set<String> labs = new HashSet<>();
    }

    /** Every fault of a day, in their order; a kind must not stand twice in a method. */
    static List<Outcome> of(
            SimulatedDay simulated, JudgedDay judged, MethodBook methods, Row.Further further, Judging judging) {
        Map<String, List<Planted>> together = new LinkedHashMap<>();
        for (Planted row : simulated.truth().faults()) {
            // A well that holds another control soil shows in every method.
            String method = row.kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN ? "" : row.method();
            together.computeIfAbsent(row.kind().word() + ' ' + method, one -> new ArrayList<>())
                    .add(row);
        }
        List<Plant> plants = new ArrayList<>();
        together.values().forEach(rows -> plants.add(new Plant(rows.get(0).kind(), rows)));
        List<Outcome> outcomes = new ArrayList<>();
        for (Plant plant : plants) {
            outcomes.add(of(plant, plants, simulated, judged, methods, further, judging));
        }
        return outcomes;
    }

    /** How a day is judged. */
    interface Judging {
        JudgedDay of(Day day);
    }

    private static Outcome of(
            Plant plant,
            List<Plant> all,
            SimulatedDay simulated,
            JudgedDay judged,
            MethodBook methods,
            Row.Further further,
            Judging judging) {
        Set<String> labs = plant.labs();
        Set<String> runs = plant.runs();
        boolean creeps = CREEPING.contains(plant.kind());
        Map<String, Touch> touches = new HashMap<>();
        int changed = 0;
        int heldOf = 0;
        for (Result result : judged.results()) {
            boolean planted = runs.contains(result.run())
                    && labs.contains(result.labNumber().text())
                    && plant.changes(result);
            changed += planted ? 1 : 0;
            heldOf += planted && result.verdict() != Verdict.FIT ? 1 : 0;
            for (String cause : result.causes()) {
                Touch touch = touches.computeIfAbsent(cause, id -> new Touch());
                touch.labs.add(result.labNumber().text());
                touch.changed += planted ? 1 : 0;
            }
        }
        int enough = Math.max(1, changed / 10);
        boolean found = false;
        boolean named = false;
        boolean told = false;
        int beside = 0;
        int redoBeside = 0;
        Map<String, Cause> best = new HashMap<>();
        Map<CauseKind, Integer> instead = new HashMap<>();
        for (Cause cause : judged.causes()) {
            Touch touch = touches.getOrDefault(cause.id(), new Touch());
            boolean there = cause.runs().stream().anyMatch(runs::contains);
            boolean sameKind = cause.kind() == plant.kind();
            boolean meets = touch.changed >= enough
                    || there && labs.isEmpty() && covers(plant, cause)
                    || there && sameKind && creeps && sharesAnalyte(plant, cause);
            found |= meets;
            if (meets) {
                instead.merge(cause.kind(), 1, Integer::sum);
                told |= standsAt(labs, touch.labs, creeps || labs.isEmpty()) && saysBeside(cause, plant.kind());
            } else if (all.stream().noneMatch(other -> !Collections.disjoint(other.runs(), cause.runs()))) {
                beside++;
                redoBeside += cause.verdict() == Verdict.REDO ? 1 : 0;
            }
            if (sameKind && there) {
                named |= labs.isEmpty() && covers(plant, cause) || creeps && sharesAnalyte(plant, cause);
                for (String run : cause.runs()) {
                    best.merge(
                            run,
                            cause,
                            (one, other) -> Comparator.comparingInt((Cause c) -> common(touches, c, labs))
                                                    .compare(one, other)
                                            >= 0
                                    ? one
                                    : other);
                }
            }
        }
        Set<String> mine = new HashSet<>();
        best.values().forEach(cause -> mine.addAll(touches.getOrDefault(cause.id(), new Touch()).labs));
        boolean mistaken = plant.kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN && !best.isEmpty();
        named |= mistaken || !creeps && !labs.isEmpty() && standsAt(labs, mine, false);
        // A control's own results never leave: what it touches may be nothing at all.
        boolean extent = named && (mistaken || mine.containsAll(labs)) && (creeps || labs.containsAll(mine));
        OptionalDouble odds = OptionalDouble.empty();
        OptionalDouble byRegression = OptionalDouble.empty();
        boolean plain = false;
        if (EXCHANGES.contains(plant.kind()) && all.size() == 1) {
            DayTable table = new DayTable(simulated.day(), judged, methods);
            Planted row = plant.rows().get(0);
            Agreement agreement = table.agreement(row.method());
            List<LabNumber> numbers = row.labNumbers();
            int first = table.trayOf(numbers.get(0));
            int last = table.trayOf(numbers.get(numbers.size() - 1));
            odds = OptionalDouble.of(
                    switch (plant.kind()) {
                        case TRAY_TURNED -> table.turned(agreement, row.method(), first);
                        case TRAYS_EXCHANGED -> table.exchanged(agreement, row.method(), first, last);
                        default -> table.neighbours(agreement, table.row(numbers.get(0)), table.row(numbers.get(1)));
                    });
            if (plant.kind() == CauseKind.TRAY_TURNED) {
                byRegression = OptionalDouble.of(table.turned(table.regression(row.method()), row.method(), first));
            }
            plain = plant.kind() == CauseKind.NEIGHBOURS_EXCHANGED || table.isPlain(first) && table.isPlain(last);
        }
        return new Outcome(
                plant.kind(),
                plant.rows().get(0).method(),
                found || named,
                named,
                named || told,
                extent,
                changed == 0 || plant.kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN
                        ? Double.NaN
                        : heldOf / (double) changed,
                answer(further, plant, simulated, judged, touches, best, named, judging),
                odds,
                byRegression,
                plain,
                beside,
                redoBeside,
                named ? "" : words(instead));
    }

    private static String words(Map<CauseKind, Integer> kinds) {
        return kinds.isEmpty()
                ? "nothing"
                : kinds.keySet().stream()
                        .map(CauseKind::word)
                        .sorted()
                        .reduce((a, b) -> a + " + " + b)
                        .orElse("");
    }

    private static int common(Map<String, Touch> touches, Cause cause, Set<String> labs) {
        return (int) touches.getOrDefault(cause.id(), new Touch()).labs.stream()
                .filter(labs::contains)
                .count();
    }

    private static boolean standsAt(Set<String> labs, Set<String> touched, boolean anywhere) {
        long common = labs.stream().filter(touched::contains).count();
        long besides = touched.stream().filter(lab -> !labs.contains(lab)).count();
        return anywhere || common >= MOST * labs.size() && besides <= Math.max(1, FEW * labs.size());
    }

    private static boolean saysBeside(Cause cause, CauseKind kind) {
        Optional<Finding.RunnerUp> runnerUp = cause.runnerUp();
        return runnerUp.isPresent()
                && runnerUp.get().kind() == kind
                && !runnerUp.get().toldApart();
    }

    private static boolean sharesAnalyte(Plant plant, Cause cause) {
        return plant.rows().stream()
                .anyMatch(row -> cause.runs().contains(row.run())
                        && row.analytes().stream().anyMatch(cause.analytes()::contains));
    }

    private static boolean covers(Plant plant, Cause cause) {
        return plant.rows().stream()
                .anyMatch(row -> cause.runs().contains(row.run())
                        && cause.firstPosition() <= row.lastPosition()
                        && cause.lastPosition() >= row.firstPosition());
    }

    private static Optional<Boolean> answer(
            Row.Further further,
            Plant plant,
            SimulatedDay simulated,
            JudgedDay judged,
            Map<String, Touch> touches,
            Map<String, Cause> best,
            boolean named,
            Judging judging) {
        Planted row = plant.rows().get(0);
        Day day = simulated.day();
        return switch (further) {
            case NONE -> Optional.empty();
            case WITHIN_ONE -> {
                List<String> order = DayTable.order(run(day, row.run()));
                Set<String> touched = new HashSet<>();
                best.values().forEach(cause -> touched.addAll(touches.getOrDefault(cause.id(), new Touch()).labs));
                int from = first(order, plant.labs());
                int said = first(order, touched);
                yield Optional.of(named && Math.abs(from - said) <= 1);
            }
            case BEFORE_THE_END -> {
                Day early = new Day(
                        day.laboratory(),
                        day.submissions(),
                        day.soils(),
                        day.trays(),
                        day.controls(),
                        day.materials(),
                        day.standards(),
                        day.runs().stream()
                                .map(run -> plant.runs().contains(run.run()) ? cut(run) : run)
                                .toList(),
                        day.packages(),
                        day.shortages());
                yield Optional.of(judging.of(early).causes().stream()
                        .anyMatch(cause -> cause.kind() == plant.kind() && sharesAnalyte(plant, cause)));
            }
            case INTERVAL -> {
                String instrument = run(day, row.run()).instrument();
                Optional<GroupDifference> difference = judged.differences().stream()
                        .filter(one -> one.kind().equals("channel")
                                && one.method().equals(row.method())
                                && one.group().equals(instrument + " " + row.channel()))
                        .findFirst();
                double is = offBy(simulated, judged, row, instrument);
                yield difference.map(one -> one.low() <= is && is <= one.high());
            }
            case NOBODY_HELD -> {
                Set<String> controls = new HashSet<>();
                day.controls().keySet().forEach(lab -> controls.add(lab.text()));
                yield Optional.of(judged.causes().stream()
                        .filter(cause -> !Collections.disjoint(plant.runs(), cause.runs())
                                && (cause.kind() == CauseKind.CONTROL_FAILED
                                        || cause.kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN))
                        .allMatch(cause -> controls.containsAll(touches.getOrDefault(cause.id(), new Touch()).labs)));
            }
        };
    }

    // Probes are calibrated each for itself, so that without any fault too they differ a little: what a channel is off
    // by is
    // what it read of its soils less what is true of them, against the same of the other channels of its instrument.
    private static double offBy(SimulatedDay simulated, JudgedDay judged, Planted row, String instrument) {
        double[] sum = new double[2];
        int[] count = new int[2];
        String analyte = row.analytes().get(0);
        int column = KnownSoils.symbols().indexOf(analyte);
        Map<LabNumber, double[]> truth = simulated.truth().contents();
        for (Result result : judged.results()) {
            double[] is = truth.get(result.labNumber());
            if (result.method().equals(row.method())
                    && result.analyte().equals(analyte)
                    && is != null
                    && Double.isFinite(result.amount().raw())
                    && run(simulated.day(), result.run()).instrument().equals(instrument)) {
                int which = result.channel().equals(row.channel()) ? 0 : 1;
                sum[which] += result.amount().raw() - is[column];
                count[which]++;
            }
        }
        return sum[0] / count[0] - sum[1] / count[1];
    }

    private static int first(List<String> order, Set<String> labs) {
        for (int i = 0; i < order.size(); i++) {
            if (labs.contains(order.get(i))) {
                return i;
            }
        }
        return Integer.MAX_VALUE / 2;
    }

    private static Run run(Day day, String name) {
        return day.runs().stream()
                .filter(run -> run.run().equals(name))
                .findFirst()
                .orElseThrow();
    }

    /** A run while its last tenth is still to be read. */
    private static Run cut(Run run) {
        Readings from = run.readings();
        int last = (int) (SHORT_OF_THE_END * from.position(from.size() - 1));
        Readings.Builder to = Readings.builder();
        for (int i = 0; i < from.size(); i++) {
            if (from.position(i) <= last) {
                to.add(
                        from.position(i),
                        from.role(i),
                        from.identity(i),
                        from.channel(i),
                        from.quantity(i),
                        from.value(i),
                        from.unit(i),
                        from.atMillis(i),
                        from.offsetSeconds(i),
                        from.dilution(i));
            }
        }
        return new Run(run.run(), run.method(), run.instrument(), run.operator(), run.startedAt(), to.build());
    }
}
