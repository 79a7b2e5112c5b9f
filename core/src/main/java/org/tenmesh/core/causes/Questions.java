package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;

/**
 * The questions that are asked of a day. One that the program cannot finish costs its own answer and never the day: it is told with its reason,
 * and what it was to be asked of is held, because a check that was not made is no evidence that a result is fit.
 *
 * <p>May be used by several threads; what is told does not depend on them.
 */
final class Questions {
    private final Map<String, Set<String>> unanswered = new ConcurrentHashMap<>();

    /**
     * Asks one question.
     *
     * @param question after "whether", in plain words
     * @param runs that it is asked of
     * @param otherwise the answer to go on with when there is none
     */
    <T> T ask(String question, Collection<String> runs, Supplier<T> answer, Supplier<T> otherwise) {
        try {
            return answer.get();
        } catch (RuntimeException stopped) {
            String said = stopped.getMessage();
            String why = stopped.getClass().getSimpleName() + (said == null ? "" : ": " + said);
            String sentence =
                    "The program could not find out whether " + question + ", because it stopped with " + why + ".";
            runs.forEach(run -> unanswered
                    .computeIfAbsent(run, name -> ConcurrentHashMap.newKeySet())
                    .add(sentence));
            return otherwise.get();
        }
    }

    /** The day with everything told that was not answered, and its runs held for it. */
    Judging told(Judging judging, List<RunStage.Inputs> runs) {
        if (unanswered.isEmpty()) {
            return judging;
        }
        List<Result> results = new ArrayList<>(judging.results());
        List<Found> found = new ArrayList<>(judging.found());
        Set<String> read = new HashSet<>();
        results.forEach(result -> read.add(result.run()));
        Map<String, RunStage.Inputs> byName = new HashMap<>();
        runs.forEach(run -> byName.put(run.run().run(), run));
        new TreeMap<>(unanswered).forEach((name, sentences) -> {
            RunStage.Inputs run = byName.get(name);
            if (run == null) {
                return;
            }
            List<String> ids = new ArrayList<>();
            for (String sentence : new TreeSet<>(sentences)) {
                Found one = found(run, name + "." + CauseKind.NOT_JUDGED.word() + "." + (ids.size() + 1), sentence);
                found.add(one);
                ids.add(one.name());
            }
            if (!read.contains(name)) {
                results.addAll(run.withoutResults());
            }
            results.replaceAll(result -> {
                Result held = result;
                for (String id : result.run().equals(name) ? ids : List.<String>of()) {
                    held = held.heldBy(id);
                }
                return held;
            });
        });
        return new Judging(results, found);
    }

    private static Found found(RunStage.Inputs run, String name, String sentence) {
        int[] positions = IntStream.range(0, run.run().readings().size())
                .map(run.run().readings()::position)
                .toArray();
        return Found.plain(
                name,
                CauseKind.NOT_JUDGED,
                Verdict.HOLD,
                run.run().run(),
                run.method().id(),
                run.method().head().analytes().stream()
                        .map(analyte -> analyte.symbol())
                        .toList(),
                IntStream.of(positions).min().orElse(0),
                IntStream.of(positions).max().orElse(0),
                sentence,
                "Look at these results yourself before you accept them, and report this sentence with the day's files.");
    }
}
