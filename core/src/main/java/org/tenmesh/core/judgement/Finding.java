package org.tenmesh.core.judgement;

import java.util.List;
import java.util.OptionalDouble;

/**
 * One thing that one run shows to be wrong.
 *
 * @param verdict what it does to the determinations it touches
 * @param analytes symbols it touches, in the method's order
 * @param firstPosition first position of the bracket
 * @param lastPosition last position of the bracket
 * @param evidence one sentence with the numbers; never names a hidden control or its place
 * @param action one sentence: what to do
 * @param log10Odds against "nothing wrong", where it can be given
 */
public record Finding(
        CauseKind kind,
        Verdict verdict,
        List<String> analytes,
        int firstPosition,
        int lastPosition,
        String evidence,
        String action,
        OptionalDouble log10Odds) {
    public Finding {
        analytes = List.copyOf(analytes);
    }
}
