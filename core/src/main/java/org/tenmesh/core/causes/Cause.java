package org.tenmesh.core.causes;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;

/**
 * One thing that went wrong.
 *
 * @param id short name, unique in the judged day and stable from judging to judging
 * @param verdict what it does to the determinations it touches: hold or redo
 * @param run the run it was found in
 * @param analytes symbols it touches
 * @param firstPosition first position it touches
 * @param lastPosition last position it touches
 * @param samples how many lab numbers it touches
 * @param evidence one sentence with the numbers; never names a hidden control
 * @param action one sentence: what to do
 * @param log10Odds against "nothing wrong", where it can be given
 * @param runnerUp the next best explanation, where more than one was weighed
 */
public record Cause(
        String id,
        CauseKind kind,
        Verdict verdict,
        String run,
        String method,
        List<String> analytes,
        int firstPosition,
        int lastPosition,
        int samples,
        String evidence,
        String action,
        OptionalDouble log10Odds,
        Optional<RunnerUp> runnerUp) {
    /** A cause with no other explanation beside it. */
    public Cause(
            String id,
            CauseKind kind,
            Verdict verdict,
            String run,
            String method,
            List<String> analytes,
            int firstPosition,
            int lastPosition,
            int samples,
            String evidence,
            String action,
            OptionalDouble log10Odds) {
        this(
                id,
                kind,
                verdict,
                run,
                method,
                analytes,
                firstPosition,
                lastPosition,
                samples,
                evidence,
                action,
                log10Odds,
                Optional.empty());
    }

    public Cause {
        analytes = List.copyOf(analytes);
    }

    /**
     * The next best explanation of the same evidence.
     *
     * @param kind what it would be
     * @param log10Odds of the chosen explanation against this one; below 1 the two cannot be told apart
     */
    public record RunnerUp(CauseKind kind, double log10Odds) {
        private static final double TOLD_APART = 1;

        /** Whether the two can be told apart: the chosen one is ten times as likely or more. */
        public boolean toldApart() {
            return log10Odds >= TOLD_APART;
        }

        /** "Next best explanation: drift along the run, 10^2.3 times less likely." */
        public String sentence() {
            String less = BigDecimal.valueOf(Math.max(0, log10Odds))
                    .setScale(1, RoundingMode.HALF_EVEN)
                    .toPlainString();
            return "Next best explanation: " + kind.phrase() + ", 10^" + less + " times less likely"
                    + (toldApart() ? "." : "; the two cannot be told apart below 10 to 1.");
        }
    }
}
