package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.judgement.Awaited;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;

/**
 * Everything the judge says of a day.
 *
 * @param results every determination of every lab number, sorted by run, position, lab number, method, analyte; a lab
 *     number read again appears once for each run, {@code redo.Standing} says which stands
 * @param causes costliest first: redo before hold, then by the number of lab numbers touched
 * @param gates in the order of runs and gates
 * @param controlValues open and hidden, in the order of runs and positions; sealed
 * @param differences between probes, balances, instruments, people, wells and hours
 * @param underWay runs of which more is still to come, in the order of runs
 * @param lowReadings what blanks and low check solutions gave, in the order of runs and positions
 */
public record JudgedDay(
        List<Result> results,
        List<Cause> causes,
        List<GateOutcome> gates,
        List<ControlValue> controlValues,
        List<GroupDifference> differences,
        List<RunUnderWay> underWay,
        List<LowReading> lowReadings) {
    /** A day without runs under way and of which no blank is told. */
    public JudgedDay(
            List<Result> results,
            List<Cause> causes,
            List<GateOutcome> gates,
            List<ControlValue> controlValues,
            List<GroupDifference> differences) {
        this(results, causes, gates, controlValues, differences, List.of(), List.of());
    }

    /** A day of which nothing was compared. */
    public JudgedDay(
            List<Result> results, List<Cause> causes, List<GateOutcome> gates, List<ControlValue> controlValues) {
        this(results, causes, gates, controlValues, List.of());
    }
    /** The order of causes. */
    static final Comparator<Cause> COSTLIEST_FIRST = Comparator.comparing(
                    (Cause cause) -> cause.verdict() == Verdict.REDO ? 0 : 1)
            .thenComparing(Comparator.comparingInt(Cause::samples).reversed())
            .thenComparing(Cause::run)
            .thenComparing(cause -> cause.kind().word())
            .thenComparingInt(Cause::firstPosition)
            .thenComparing(Cause::id);

    public JudgedDay {
        results = List.copyOf(results);
        causes = List.copyOf(causes);
        gates = List.copyOf(gates);
        controlValues = List.copyOf(controlValues);
        differences = List.copyOf(differences);
        underWay = List.copyOf(underWay);
        lowReadings = List.copyOf(lowReadings);
    }

    /** The same day with these results. */
    public JudgedDay with(List<Result> others) {
        return new JudgedDay(others, causes, gates, controlValues, differences, underWay, lowReadings);
    }

    /** What a run under way has not read yet; empty for one that has ended. */
    public Optional<RunUnderWay> underWay(String run) {
        return underWay.stream().filter(one -> one.run().equals(run)).findFirst();
    }

    /** What a result of a run under way waits for, as in "waits for the check solution after it"; empty when it waits for nothing. */
    public List<String> awaits(Result result) {
        if (underWay.isEmpty()) {
            return List.of();
        }
        return underWay(result.run())
                .map(run -> run.awaited().stream()
                        .filter(one -> one.concerns(result.analyte(), result.channel(), result.position()))
                        .map(Awaited::what)
                        .distinct()
                        .toList())
                .orElse(List.of());
    }

    /**
     * What stands around a result, in sentences: the gates and control soils of its run and the evidence of every cause that touches it.
     * Never names a hidden control.
     */
    public List<String> around(Result result) {
        List<String> around = new ArrayList<>();
        for (GateOutcome gate : gates) {
            if (gate.run().equals(result.run())) {
                around.add("Gate " + gate.gate().word() + " " + (gate.open() ? "open" : "shut") + ": " + gate.observed()
                        + " (expected: " + gate.limit() + ").");
            }
        }
        int known = 0;
        int passed = 0;
        for (ControlValue value : controlValues) {
            if (value.run().equals(result.run()) && value.analyte().equals(result.analyte())) {
                known++;
                passed += value.rules().isEmpty() ? 1 : 0;
            }
        }
        if (known > 0) {
            around.add(
                    "Control soils of this run: " + passed + " of " + known + " passed for " + result.analyte() + ".");
        }
        List<String> awaits = awaits(result);
        if (!awaits.isEmpty()) {
            around.add("Its run is under way; it waits for " + String.join(", and for ", awaits) + ".");
        }
        for (Cause cause : causes) {
            if (result.causes().contains(cause.id())) {
                around.addAll(cause.evidence(result.run()));
            }
        }
        return around;
    }
}
