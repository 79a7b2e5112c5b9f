package org.tenmesh.core.redo;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Repeats;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.derived.Telling;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;

/**
 * Which value stands when a lab number was read again under the same method: of those that are fit the one that {@link Repeats} chooses,
 * which is the last one as long as they agree; where none is fit, the last one with a number; all are kept. "Last" is by the start of the
 * runs.
 *
 * <p>What is calculated from standing results stands with them.
 *
 * @param judged the day as it was judged
 * @param standing one result for each lab number, method and analyte, in the order of the judged day; after them what comes from no
 *     run (portions without enough soil, derived results), by lab number, method and analyte
 * @param superseded all others, in the same order
 */
public record Standing(JudgedDay judged, List<Result> standing, List<Result> superseded) {
    public Standing {
        standing = List.copyOf(standing);
        superseded = List.copyOf(superseded);
    }

    /**
     * Sorts out a judged day and derives what rests on what stands.
     *
     * @param day for the order in which its runs started, and for what was asked
     * @param methods what is calculated is calculated by the versions that hold on the day
     * @throws org.tenmesh.core.formula.NoSenseException naming derived methods that need each other's results
     */
    public static Standing of(Day day, JudgedDay judged, MethodBook methods) {
        return of(day, judged, methods, new DerivedSoils());
    }

    /** {@link #of(Day, JudgedDay, MethodBook)} with what was derived before: the same to the last bit, sooner. */
    public static Standing of(Day day, JudgedDay judged, MethodBook methods, DerivedSoils before) {
        Standing read = of(day, judged);
        List<Result> derived = Deriving.of(day, read.standing(), methods, before);
        if (derived.isEmpty()) {
            return read;
        }
        List<Result> all = new ArrayList<>(read.standing());
        all.addAll(derived);
        return new Standing(judged, all, read.superseded());
    }

    /**
     * How one standing number came to be: the reduction of its run again, with its trail on, or the formula that derives it with the
     * same for each of its inputs.
     *
     * @param result one of {@link #standing()} or {@link #superseded()}
     */
    public Story story(Day day, MethodBook methods, Result result) {
        return story(day, methods, result, read -> DayJudge.story(day, methods, judged, read));
    }

    /**
     * {@link #story(Day, MethodBook, Result)} with another way to tell of a result that a run read.
     *
     * @param measured tells of results with a run
     */
    public Story story(Day day, MethodBook methods, Result result, Telling measured) {
        Telling read = one -> one.run().isEmpty() ? Story.of(one, List.of(), List.of()) : measured.of(one);
        Story story =
                result.run().isEmpty() ? Deriving.story(day, standing, methods, result, read) : measured.of(result);
        Optional<String> water = PasteWater.of(day, result.labNumber(), result.method(), methods);
        if (water.isEmpty()) {
            return story;
        }
        List<String> around = new ArrayList<>(List.of(water.get()));
        around.addAll(story.around());
        return new Story(result, story.parts(), around);
    }

    /** The standing result of this lab number, method and analyte. */
    public Optional<Result> of(LabNumber labNumber, String method, String analyte) {
        return standing.stream()
                .filter(result -> result.labNumber().equals(labNumber)
                        && result.method().equals(method)
                        && result.analyte().equals(analyte))
                .findFirst();
    }

    /**
     * Why another reading stands in place of each superseded one: one sentence each.
     *
     * @param day for the order in which its runs started
     * @return by identity, for each of {@link #superseded()}
     */
    public Map<Result, String> reasons(Day day) {
        Map<Result, String> reasons = new IdentityHashMap<>();
        if (superseded.isEmpty()) {
            return reasons;
        }
        Set<LabNumber> again = new HashSet<>();
        superseded.forEach(result -> again.add(result.labNumber()));
        Map<ResultKey, Result> stands = new HashMap<>();
        List<Result> readings = new ArrayList<>(superseded);
        for (Result result : standing) {
            if (again.contains(result.labNumber()) && !result.run().isEmpty()) {
                stands.put(ResultKey.of(result), result);
                readings.add(result);
            }
        }
        Map<LabNumber, Map<String, Map<String, List<Result>>>> fit = Repeats.fit(readings, again, Repeats.order(day));
        for (Result replaced : superseded) {
            Result chosen = stands.get(ResultKey.of(replaced));
            if (chosen != null) {
                Map<String, List<Result>> byAnalyte =
                        fit.getOrDefault(replaced.labNumber(), Map.of()).getOrDefault(replaced.method(), Map.of());
                reasons.put(
                        replaced,
                        "Run " + chosen.run() + " stands. "
                                + reason(
                                        replaced,
                                        chosen,
                                        byAnalyte,
                                        day.laboratory().policy()));
            }
        }
        return reasons;
    }

    private static String reason(Result replaced, Result chosen, Map<String, List<Result>> byAnalyte, Policy policy) {
        if (chosen.verdict() != Verdict.FIT) {
            return chosen.reported().isEmpty()
                    ? "No reading has a number."
                    : "No reading is fit; it is the last one with a number.";
        }
        if (replaced.verdict() != Verdict.FIT) {
            return "This reading was " + (replaced.verdict() == Verdict.REDO ? "to be made again." : "held.");
        }
        List<Result> several = byAnalyte.getOrDefault(replaced.analyte(), List.of());
        return several.isEmpty()
                ? ""
                : Repeats.choose(several, byAnalyte.size(), policy).why();
    }

    private static Standing of(Day day, JudgedDay judged) {
        Set<LabNumber> again = Repeats.readAgain(judged.results());
        if (again.isEmpty()) {
            return new Standing(judged, judged.results(), List.of());
        }
        Map<String, Integer> order = Repeats.order(day);
        Map<ResultKey, Result> chosen = new HashMap<>();
        for (Result result : judged.results()) {
            if (again.contains(result.labNumber())) {
                chosen.merge(ResultKey.of(result), result, (earlier, later) -> better(earlier, later, order));
            }
        }
        Repeats.fit(judged.results(), again, order)
                .values()
                .forEach(byMethod -> byMethod.values()
                        .forEach(byAnalyte -> byAnalyte.values().forEach(several -> {
                            Result stands = several.get(Repeats.choose(
                                            several,
                                            byAnalyte.size(),
                                            day.laboratory().policy())
                                    .stands());
                            chosen.put(ResultKey.of(stands), stands);
                        })));
        List<Result> standing = new ArrayList<>();
        List<Result> superseded = new ArrayList<>();
        for (Result result : judged.results()) {
            boolean stands = !again.contains(result.labNumber()) || chosen.get(ResultKey.of(result)) == result;
            (stands ? standing : superseded).add(result);
        }
        return new Standing(judged, standing, superseded);
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
