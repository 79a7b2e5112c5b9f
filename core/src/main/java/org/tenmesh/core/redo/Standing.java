package org.tenmesh.core.redo;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.reduction.Run;

/**
 * Which value stands when a lab number was read again under the same method: the last one that is fit; where none is fit, the last
 * one with a number; both are kept. "Last" is by the start of the runs.
 *
 * @param standing one result for each lab number, method and analyte, in the order of the judged day
 * @param superseded all others, in the same order
 */
public record Standing(List<Result> standing, List<Result> superseded) {
    public Standing {
        standing = List.copyOf(standing);
        superseded = List.copyOf(superseded);
    }

    private record Key(LabNumber labNumber, String method, String analyte) {}

    /**
     * Sorts out a judged day.
     *
     * @param day for the order in which its runs started
     */
    public static Standing of(Day day, JudgedDay judged) {
        Map<String, Integer> order = new HashMap<>();
        day.runs().stream()
                .sorted(Comparator.comparing((Run run) -> run.startedAt().toInstant())
                        .thenComparing(Run::run))
                .forEach(run -> order.put(run.run(), order.size()));
        Map<Key, Result> chosen = new HashMap<>(judged.results().size() * 2);
        boolean repeated = false;
        for (Result result : judged.results()) {
            Key key = new Key(result.labNumber(), result.method(), result.analyte());
            Result earlier = chosen.putIfAbsent(key, result);
            if (earlier != null) {
                repeated = true;
                chosen.put(key, better(earlier, result, order));
            }
        }
        if (!repeated) {
            return new Standing(judged.results(), List.of());
        }
        List<Result> standing = new ArrayList<>();
        List<Result> superseded = new ArrayList<>();
        for (Result result : judged.results()) {
            Key key = new Key(result.labNumber(), result.method(), result.analyte());
            (chosen.get(key) == result ? standing : superseded).add(result);
        }
        return new Standing(standing, superseded);
    }

    private static Result better(Result one, Result two, Map<String, Integer> order) {
        if (rank(one) != rank(two)) {
            return rank(one) > rank(two) ? one : two;
        }
        int byRun = Integer.compare(order.getOrDefault(one.run(), -1), order.getOrDefault(two.run(), -1));
        return byRun > 0 ? one : two;
    }

    private static int rank(Result result) {
        return result.verdict() == Verdict.FIT ? 2 : result.reported().isEmpty() ? 0 : 1;
    }
}
