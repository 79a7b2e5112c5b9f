package org.tenmesh.core.judgement;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Times;

/**
 * One thing that one run shows to be wrong.
 *
 * @param verdict what it does to the determinations it touches
 * @param analytes symbols it touches, in the method's order
 * @param firstPosition first position of the bracket
 * @param lastPosition last position of the bracket
 * @param evidence one sentence with the numbers; never names a hidden control or its place
 * @param action one sentence: what to do
 * @param log10Odds against "no fault", where it can be given
 * @param runnerUp the next best explanation of the same evidence, where two were weighed
 * @param measures the numbers of the evidence beside what is allowed of them, the furthest from it first
 */
public record Finding(
        CauseKind kind,
        Verdict verdict,
        List<String> analytes,
        int firstPosition,
        int lastPosition,
        String evidence,
        String action,
        OptionalDouble log10Odds,
        Optional<RunnerUp> runnerUp,
        List<Measure> measures) {
    /** A finding with no other explanation beside it. */
    public Finding(
            CauseKind kind,
            Verdict verdict,
            List<String> analytes,
            int firstPosition,
            int lastPosition,
            String evidence,
            String action,
            OptionalDouble log10Odds) {
        this(
                kind,
                verdict,
                analytes,
                firstPosition,
                lastPosition,
                evidence,
                action,
                log10Odds,
                Optional.empty(),
                List.of());
    }

    public Finding {
        analytes = List.copyOf(analytes);
        measures = measures.stream().sorted(Measure.FURTHEST_FIRST).toList();
    }

    /**
     * The next best explanation of the same evidence.
     *
     * @param kind what it would be
     * @param log10Odds of the chosen explanation against this one; below 1 the two cannot be distinguished
     */
    public record RunnerUp(CauseKind kind, double log10Odds) {
        private static final double TOLD_APART = 1;
        /** Below this "1 times" would be said. */
        private static final double AS_LIKELY = 0.02;

        /** Whether the two can be distinguished: the chosen one is ten times as likely or more. */
        public boolean toldApart() {
            return log10Odds >= TOLD_APART;
        }

        /** "Next best explanation: drift along the run, 200 times less likely." */
        public String sentence() {
            return "Next best explanation: " + kind.phrase() + ", "
                    + (log10Odds < AS_LIKELY ? "as likely" : Times.text(log10Odds) + " less likely")
                    + (toldApart() ? "." : "; the two cannot be distinguished below 10 to 1.");
        }
    }
}
