package org.tenmesh.core.judgement;

import java.util.List;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Reduced;

/**
 * What the judge says of one run.
 *
 * @param determinations of lab numbers, one for each lab number and analyte: the first position without a flaw stands, so a
 *     diluted second reading stands for what was over range and the first for all else
 */
public record RunJudgement(
        Reduced reduced,
        List<Finding> findings,
        List<Judged> determinations,
        List<GateOutcome> gates,
        List<ControlValue> controlValues) {
    public RunJudgement {
        findings = List.copyOf(findings);
        determinations = List.copyOf(determinations);
        gates = List.copyOf(gates);
        controlValues = List.copyOf(controlValues);
    }

    /**
     * One determination with what touches it.
     *
     * @param findings indices into {@link RunJudgement#findings()}, rising
     */
    public record Judged(Determination determination, Verdict verdict, List<Integer> findings) {}
}
