package org.tenmesh.core.judgement;

import java.util.List;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Reduced;

/**
 * What the judge says of one run.
 *
 * @param determinations of lab numbers, one for each lab number and analyte: the first position without a flaw stands, so a
 *     diluted second reading stands for what was over range and the first for all else
 * @param notRead of a run under way: gates for which nothing that can be judged was read yet; they are neither open nor shut
 * @param awaited of a run under way: what its results wait for
 */
public record RunJudgement(
        Reduced reduced,
        List<Finding> findings,
        List<Judged> determinations,
        List<GateOutcome> gates,
        List<ControlValue> controlValues,
        List<Gate> notRead,
        List<Awaited> awaited) {
    /** What is said of a run that has ended. */
    public RunJudgement(
            Reduced reduced,
            List<Finding> findings,
            List<Judged> determinations,
            List<GateOutcome> gates,
            List<ControlValue> controlValues) {
        this(reduced, findings, determinations, gates, controlValues, List.of(), List.of());
    }

    public RunJudgement {
        findings = List.copyOf(findings);
        determinations = List.copyOf(determinations);
        gates = List.copyOf(gates);
        controlValues = List.copyOf(controlValues);
        notRead = List.copyOf(notRead);
        awaited = List.copyOf(awaited);
    }

    /**
     * One determination with what touches it.
     *
     * @param findings indices into {@link RunJudgement#findings()}, rising
     */
    public record Judged(Determination determination, Verdict verdict, List<Integer> findings) {}
}
