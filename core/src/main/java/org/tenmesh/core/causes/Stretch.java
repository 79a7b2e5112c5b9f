package org.tenmesh.core.causes;

import java.util.Comparator;
import java.util.List;
import java.util.TreeSet;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;

/**
 * What a cause does to one stretch of one run.
 *
 * @param verdict what it does to the determinations it touches here
 * @param analytes symbols it touches, in the method's order
 * @param firstPosition first position of the stretch; 0 when it concerns no position
 * @param lastPosition last position of the stretch; 0 when it concerns no position
 * @param touched the determinations of this run that it touches, sorted, each once
 * @param evidence one sentence with the numbers; never names a hidden control
 * @param measures the same numbers beside what is allowed of them, the furthest from it first; empty where there is none, and in what was
 *     kept before there were any
 */
public record Stretch(
        String run,
        String method,
        Verdict verdict,
        List<String> analytes,
        int firstPosition,
        int lastPosition,
        List<ResultKey> touched,
        String evidence,
        List<Measure> measures) {
    static final Comparator<Stretch> BY_PLACE = Comparator.comparing(Stretch::run)
            .thenComparing(Stretch::method)
            .thenComparingInt(Stretch::firstPosition)
            .thenComparingInt(Stretch::lastPosition)
            .thenComparing(Stretch::evidence);

    /** A stretch without numbers beside its evidence. */
    public Stretch(
            String run,
            String method,
            Verdict verdict,
            List<String> analytes,
            int firstPosition,
            int lastPosition,
            List<ResultKey> touched,
            String evidence) {
        this(run, method, verdict, analytes, firstPosition, lastPosition, touched, evidence, List.of());
    }

    public Stretch {
        analytes = List.copyOf(analytes);
        measures = List.copyOf(measures);
        touched = List.copyOf(new TreeSet<>(touched));
    }
}
