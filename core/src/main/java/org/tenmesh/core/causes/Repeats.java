package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.statistics.NormalRange;

/**
 * Lab numbers read again, where each reading is fit by itself: do they agree, and which one stands.
 *
 * <p>Two agree when they differ by no more than 2.8 standard uncertainties of a result (critical difference, ISO 5725-6:1994, 5; 2.8 read at
 * projects.bre.co.uk, its place in the standard from memory); then the later one stands. The standard would state their mean; here one
 * reading stands whole, so that its number can be followed back to one run, and the other is kept beside it. When they do not agree both are
 * held and a third is asked for; of three or more the later one stands when all lie within the critical range (3.3 for three, 3.6 for four), and
 * else the median, of an even number the later of the two in the middle (the standard's way where a further test is dear; from memory).
 *
 * <p>The standard's factors are for one comparison in twenty by chance. The analytes of one soil that were all read again are judged together,
 * so that one soil in twenty disagrees by chance and not every second one: each gets the chance {@code 1 - 0.95^(1/m)} (Sidak 1967, J. Am.
 * Stat. Assoc. 62:626). For one analyte the factor is 2.77. The standard uncertainty is half of what each result states.
 */
public final class Repeats {
    private static final double COVERAGE = 2;
    private static final int NAMED = 4;

    private Repeats() {}

    /**
     * What is to be made of several fit readings.
     *
     * @param stands index of the one that stands
     * @param agree whether they agree
     * @param why one sentence
     */
    public record Choice(int stands, boolean agree, String why) {}

    /**
     * Which of several fit readings of one lab number, method and analyte stands.
     *
     * @param fit one or more, in the order read
     * @param together analytes of that soil and method that were read again, 1 or more
     * @param policy when readings agree
     */
    public static Choice choose(List<Result> fit, int together, Policy policy) {
        int n = fit.size();
        int last = n - 1;
        if (n == 1) {
            return new Choice(0, true, "It is the only fit reading.");
        }
        double squares = 0;
        for (Result result : fit) {
            OptionalDouble u = result.expandedUncertainty();
            if (!(result.amount() instanceof Amount.Measured) || u.isEmpty()) {
                return new Choice(
                        last, true, "The later fit reading stands: not all are numbers that can be compared.");
            }
            squares += u.getAsDouble() * u.getAsDouble() / COVERAGE / COVERAGE / n;
        }
        double[] values =
                fit.stream().mapToDouble(result -> result.amount().raw()).toArray();
        double range = Arrays.stream(values).max().orElse(0)
                - Arrays.stream(values).min().orElse(0);
        double factor = NormalRange.quantile(Math.pow(policy.number(Setting.REPEAT_AGREES), 1.0 / together), n);
        double limit = factor * Math.sqrt(squares);
        String said = (n == 2 ? "the two differ by " : "the " + n + " range over ") + text(range, 3) + ", at most "
                + text(limit, 3) + " expected (" + text(factor, 2) + " standard uncertainties)";
        if (range <= limit) {
            return new Choice(last, true, "The later fit reading stands: " + said + ".");
        }
        if (n == 2) {
            return new Choice(last, false, "A third reading is needed: " + said + ".");
        }
        return new Choice(median(values), false, "The median of " + n + " stands: " + said + ".");
    }

    private static int median(double[] values) {
        List<Integer> order = new ArrayList<>();
        for (int i = 0; i < values.length; i++) {
            order.add(i);
        }
        order.sort(Comparator.comparingDouble((Integer i) -> values[i]).thenComparing(i -> i));
        int middle = values.length / 2;
        return values.length % 2 == 1 ? order.get(middle) : Math.max(order.get(middle - 1), order.get(middle));
    }

    /** The order in which the runs of a day started. */
    public static Map<String, Integer> order(Day day) {
        Map<String, Integer> order = new HashMap<>();
        day.runs().stream()
                .sorted(Comparator.comparing((Run run) -> run.startedAt().toInstant())
                        .thenComparing(Run::run))
                .forEach(run -> order.put(run.run(), order.size()));
        return order;
    }

    /**
     * The fit readings of lab numbers that were read again, by lab number, method and analyte, each in the order read; only those of which
     * there are two or more.
     *
     * @param again see {@link #readAgain}
     */
    public static Map<LabNumber, Map<String, Map<String, List<Result>>>> fit(
            List<Result> results, Set<LabNumber> again, Map<String, Integer> order) {
        Map<LabNumber, Map<String, Map<String, List<Result>>>> fit = new LinkedHashMap<>();
        for (Result result : results) {
            if (again.contains(result.labNumber()) && result.verdict() == Verdict.FIT) {
                fit.computeIfAbsent(result.labNumber(), lab -> new LinkedHashMap<>())
                        .computeIfAbsent(result.method(), method -> new LinkedHashMap<>())
                        .computeIfAbsent(result.analyte(), analyte -> new ArrayList<>())
                        .add(result);
            }
        }
        fit.values()
                .forEach(byMethod -> byMethod.values().forEach(byAnalyte -> {
                    byAnalyte.values().removeIf(several -> several.size() < 2);
                    byAnalyte
                            .values()
                            .forEach(several -> several.sort(
                                    Comparator.comparingInt(result -> order.getOrDefault(result.run(), -1))));
                }));
        return fit;
    }

    /** Lab numbers with results of one method from several runs, or the same analyte twice from one: few on most days. */
    public static Set<LabNumber> readAgain(List<Result> results) {
        Set<LabNumber> again = new HashSet<>();
        Map<String, Set<LabNumber>> seen = new HashMap<>();
        // A dozen names at the most, and the same ones again and again: a list is quickest.
        List<String> analytes = new ArrayList<>();
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
            if (analytes.contains(result.analyte())) {
                again.add(result.labNumber());
            } else {
                analytes.add(result.analyte());
            }
            last = result;
        }
        return again;
    }

    /** The day with two fit readings that do not agree held, and what holds them found in each later run. */
    static Judging on(Day day, Judging judged) {
        Set<LabNumber> again = readAgain(judged.results());
        if (again.isEmpty()) {
            return judged;
        }
        Map<String, List<Disagreeing>> byRun = new TreeMap<>();
        fit(judged.results(), again, order(day))
                .values()
                .forEach(byMethod -> byMethod.values()
                        .forEach(byAnalyte -> byAnalyte.values().forEach(several -> {
                            Choice choice = choose(
                                    several, byAnalyte.size(), day.laboratory().policy());
                            if (several.size() == 2 && !choice.agree()) {
                                byRun.computeIfAbsent(several.get(1).run(), run -> new ArrayList<>())
                                        .add(new Disagreeing(several.get(0), several.get(1), choice.why()));
                            }
                        })));
        return byRun.isEmpty() ? judged : held(judged, byRun);
    }

    private record Disagreeing(Result first, Result second, String why) {}

    private static Judging held(Judging judged, Map<String, List<Disagreeing>> byRun) {
        List<Found> found = new ArrayList<>(judged.found());
        Set<String> ids = new HashSet<>();
        found.forEach(one -> ids.add(one.name()));
        Map<Result, String> holding = new IdentityHashMap<>();
        byRun.forEach((run, pairs) -> {
            int number = 1;
            while (!ids.add(run + "." + CauseKind.DUPLICATES_DISAGREE.word() + "." + number)) {
                number++;
            }
            String id = run + "." + CauseKind.DUPLICATES_DISAGREE.word() + "." + number;
            Set<String> analytes = new TreeSet<>();
            List<String> phrases = new ArrayList<>();
            for (Disagreeing pair : pairs) {
                analytes.add(pair.second().analyte());
                phrases.add(pair.second().labNumber().text() + " "
                        + pair.second().analyte() + " "
                        + pair.first().reported() + " in run " + pair.first().run() + ", "
                        + pair.second().reported() + " in this one");
                holding.put(pair.first(), id);
                holding.put(pair.second(), id);
            }
            Result first = pairs.get(0).second();
            found.add(Found.plain(
                    id,
                    CauseKind.DUPLICATES_DISAGREE,
                    Verdict.HOLD,
                    run,
                    first.method(),
                    List.copyOf(analytes),
                    pairs.stream()
                            .mapToInt(pair -> pair.second().position())
                            .min()
                            .orElse(0),
                    pairs.stream()
                            .mapToInt(pair -> pair.second().position())
                            .max()
                            .orElse(0),
                    "Read again, and the two do not agree: "
                            + String.join("; ", phrases.subList(0, Math.min(NAMED, phrases.size())))
                            + (phrases.size() > NAMED ? "; and " + (phrases.size() - NAMED) + " more" : "") + ".",
                    "Read these soils a third time, with a fresh portion; then the median of three stands."));
        });
        List<Result> results = new ArrayList<>(judged.results().size());
        for (Result result : judged.results()) {
            String id = holding.get(result);
            results.add(id == null ? result : result.heldBy(id));
        }
        return new Judging(results, found);
    }
}
