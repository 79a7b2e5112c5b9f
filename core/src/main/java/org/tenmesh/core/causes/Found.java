package org.tenmesh.core.causes;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;

/**
 * What one run shows of something that went wrong, before {@link Events} joins what belongs together.
 *
 * @param name by which results name it; unique while one day is judged, and gone after that
 * @param measures the numbers of the evidence beside what is allowed of them
 * @param ofTheDay whether only the day as a whole shows it
 */
record Found(
        String name,
        CauseKind kind,
        Verdict verdict,
        String run,
        String method,
        List<String> analytes,
        int firstPosition,
        int lastPosition,
        String evidence,
        String action,
        OptionalDouble log10Odds,
        Optional<Finding.RunnerUp> runnerUp,
        List<Measure> measures,
        boolean ofTheDay) {
    Found {
        analytes = List.copyOf(analytes);
        measures = List.copyOf(measures);
    }

    /** The same with numbers beside it. */
    Found with(List<Measure> its) {
        return new Found(
                name,
                kind,
                verdict,
                run,
                method,
                analytes,
                firstPosition,
                lastPosition,
                evidence,
                action,
                log10Odds,
                runnerUp,
                its,
                ofTheDay);
    }

    /** What is not weighed by odds. */
    static Found plain(
            String name,
            CauseKind kind,
            Verdict verdict,
            String run,
            String method,
            List<String> analytes,
            int firstPosition,
            int lastPosition,
            String evidence,
            String action) {
        return new Found(
                name,
                kind,
                verdict,
                run,
                method,
                analytes,
                firstPosition,
                lastPosition,
                evidence,
                action,
                OptionalDouble.empty(),
                Optional.empty(),
                List.of(),
                false);
    }
}
