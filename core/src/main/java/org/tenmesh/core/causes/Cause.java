package org.tenmesh.core.causes;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
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
        Optional<Finding.RunnerUp> runnerUp) {
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
}
