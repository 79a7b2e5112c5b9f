package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.judgement.CauseKind;

/**
 * What reading again changed, for one kind of cause and one method: of the results that such causes touch and that a later run read.
 *
 * @param results that were read again
 * @param otherText of these, the ones that are now reported with another text
 * @param otherVerdict of these, the ones that now have another verdict
 */
public record ReadAgain(CauseKind kind, String method, int results, int otherText, int otherVerdict) {

    /** By kind, then by method. A result that several causes of one kind touch counts once. */
    public static List<ReadAgain> of(Desk desk) {
        Map<String, Map<ResultKey, Result>> byRun = new HashMap<>();
        for (Result result : desk.judged().results()) {
            if (result.position() > 0) {
                byRun.computeIfAbsent(result.run(), run -> new HashMap<>()).put(ResultKey.of(result), result);
            }
        }
        Map<CauseKind, Map<String, ReadAgain>> counted = new TreeMap<>();
        Map<CauseKind, Set<ResultKey>> seen = new HashMap<>();
        for (Cause cause : desk.judged().causes()) {
            for (Stretch stretch : cause.stretches()) {
                for (ResultKey key : stretch.touched()) {
                    Result first = byRun.getOrDefault(stretch.run(), Map.of()).get(key);
                    if (first == null
                            || !seen.computeIfAbsent(cause.kind(), kind -> new HashSet<>())
                                    .add(key)) {
                        continue;
                    }
                    desk.standing(key.labNumber()).stream()
                            .filter(now -> ResultKey.of(now).equals(key)
                                    && now.position() > 0
                                    && !now.run().equals(stretch.run()))
                            .findFirst()
                            .ifPresent(now -> counted.computeIfAbsent(cause.kind(), kind -> new TreeMap<>())
                                    .merge(key.method(), one(cause.kind(), first, now), ReadAgain::and));
                }
            }
        }
        List<ReadAgain> all = new ArrayList<>();
        counted.values().forEach(byMethod -> all.addAll(byMethod.values()));
        return all;
    }

    private static ReadAgain one(CauseKind kind, Result first, Result now) {
        return new ReadAgain(
                kind,
                first.method(),
                1,
                first.reported().equals(now.reported()) ? 0 : 1,
                first.verdict() == now.verdict() ? 0 : 1);
    }

    private ReadAgain and(ReadAgain other) {
        return new ReadAgain(
                kind, method, results + other.results, otherText + other.otherText, otherVerdict + other.otherVerdict);
    }
}
