package org.tenmesh.core.redo;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Run;

/**
 * Which value stands when a lab number was read again under the same method: the last one that is fit; where none is fit, the last
 * one with a number; both are kept. "Last" is by the start of the runs.
 *
 * <p>What is reckoned from standing results stands with them.
 *
 * @param standing one result for each lab number, method and analyte, in the order of the judged day; after them what comes from no
 *     run (portions without enough soil, derived results), by lab number, method and analyte
 * @param superseded all others, in the same order
 */
public record Standing(List<Result> standing, List<Result> superseded) {
    public Standing {
        standing = List.copyOf(standing);
        superseded = List.copyOf(superseded);
    }

    private record Key(LabNumber labNumber, String method, String analyte) {}

    /**
     * Sorts out a judged day and derives what rests on what stands.
     *
     * @param day for the order in which its runs started, and for what was asked
     * @param methods by id
     * @throws org.tenmesh.core.formula.NoSenseException naming derived methods that need each other's results
     */
    public static Standing of(Day day, JudgedDay judged, Map<String, Method> methods) {
        Standing read = of(day, judged);
        List<Result> derived = Deriving.of(day, read.standing(), methods);
        if (derived.isEmpty()) {
            return read;
        }
        List<Result> all = new ArrayList<>(read.standing());
        all.addAll(derived);
        return new Standing(all, read.superseded());
    }

    /**
     * How one standing number came to be: the reduction of its run again, with its trail on, or the formula that derives it with the
     * same for each of its inputs.
     *
     * @param result one of {@link #standing()} or {@link #superseded()}
     */
    public Story story(Day day, Map<String, Method> methods, Result result) {
        Story story = result.run().isEmpty()
                ? Deriving.story(day, standing, methods, result, input -> read(day, methods, input))
                : read(day, methods, result);
        Optional<String> water = PasteWater.of(day, result.labNumber(), result.method(), methods);
        if (water.isEmpty()) {
            return story;
        }
        List<String> around = new ArrayList<>(List.of(water.get()));
        around.addAll(story.around());
        return new Story(result, story.steps(), around);
    }

    private static Story read(Day day, Map<String, Method> methods, Result result) {
        if (result.run().isEmpty()) {
            return new Story(result, List.of(), List.of());
        }
        Method method = methods.get(result.method());
        if (method == null) {
            throw new IllegalArgumentException(
                    "result of " + result.labNumber() + " by unknown method " + result.method());
        }
        return DayJudge.story(day, methods, method, result);
    }

    /** The standing result of this lab number, method and analyte. */
    public Optional<Result> of(LabNumber labNumber, String method, String analyte) {
        return standing.stream()
                .filter(result -> result.labNumber().equals(labNumber)
                        && result.method().equals(method)
                        && result.analyte().equals(analyte))
                .findFirst();
    }

    private static Standing of(Day day, JudgedDay judged) {
        Map<String, Integer> order = new HashMap<>();
        day.runs().stream()
                .sorted(Comparator.comparing((Run run) -> run.startedAt().toInstant())
                        .thenComparing(Run::run))
                .forEach(run -> order.put(run.run(), order.size()));
        Set<LabNumber> again = readAgain(judged.results());
        if (again.isEmpty()) {
            return new Standing(judged.results(), List.of());
        }
        Map<Key, Result> chosen = new HashMap<>();
        for (Result result : judged.results()) {
            if (again.contains(result.labNumber())) {
                chosen.merge(key(result), result, (earlier, later) -> better(earlier, later, order));
            }
        }
        List<Result> standing = new ArrayList<>();
        List<Result> superseded = new ArrayList<>();
        for (Result result : judged.results()) {
            boolean stands = !again.contains(result.labNumber()) || chosen.get(key(result)) == result;
            (stands ? standing : superseded).add(result);
        }
        return new Standing(standing, superseded);
    }

    private static Key key(Result result) {
        return new Key(result.labNumber(), result.method(), result.analyte());
    }

    // Lab numbers with results of one method from several runs, or the same analyte twice from one: few on most days.
    private static Set<LabNumber> readAgain(List<Result> results) {
        Set<LabNumber> again = new HashSet<>();
        Map<String, Set<LabNumber>> seen = new HashMap<>();
        Set<String> analytes = new HashSet<>();
        @Nullable Result last = null;
        for (Result result : results) {
            boolean same = last != null
                    && last.labNumber().equals(result.labNumber())
                    && last.run().equals(result.run())
                    && last.method().equals(result.method());
            if (!same) {
                analytes.clear();
                if (!seen.computeIfAbsent(result.method(), method -> new HashSet<>())
                        .add(result.labNumber())) {
                    again.add(result.labNumber());
                }
            }
            if (!analytes.add(result.analyte())) {
                again.add(result.labNumber());
            }
            last = result;
        }
        return again;
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
