package org.tenmesh.core.proficiency;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.quantity.Times;
import org.tenmesh.core.statistics.StudentT;

/**
 * Two samples of a round that this laboratory took for each other: what it found in either agrees with what is assigned to the other.
 *
 * <p>Results are held against the assigned values by t densities of 5 degrees of freedom on the scale of the scores; the odds are those of
 * the two samples' results in each other's place against as they were sent in, over all analytes of one method or of all methods together.
 *
 * @param methods in which they were exchanged, in alphabetical order
 * @param results of either sample that say so
 * @param log10Odds against nothing exchanged
 */
public record SamplesExchanged(
        String round, String first, String second, List<String> methods, int results, double log10Odds) {
    private static final StudentT DENSITY = new StudentT(5);
    /** Chance that a round in which nothing was exchanged is named. */
    private static final double FALSE_ALARM = 0.01;
    /** In each other's place the results must agree: root mean square of the scores (choice). */
    private static final double AGREES = 2;

    public SamplesExchanged {
        methods = List.copyOf(methods);
    }

    /** "Samples A and B of round 1 seem to have been exchanged in ph-water-1-1: ...". */
    public String sentence() {
        return "Samples " + first + " and " + second + " of round " + round
                + " seem to have been exchanged in "
                + String.join(", ", methods) + ": in each other's place their results agree with the assigned values "
                + Times.text(log10Odds) + " better. Look at labels, trays and lists before anything else.";
    }

    private record Pair(String first, String second) {}

    /** What one method says of a pair. */
    private record Said(String method, int results, double log10, double squares) {}

    /** Pairs of each round that were exchanged, surest first; no sample is in two of them. */
    public static List<SamplesExchanged> find(List<RoundResult> results) {
        Map<String, List<RoundResult>> rounds =
                results.stream().collect(Collectors.groupingBy(RoundResult::round, TreeMap::new, Collectors.toList()));
        List<SamplesExchanged> found = new ArrayList<>();
        rounds.forEach((round, its) -> found.addAll(inRound(round, its)));
        return found;
    }

    private static List<SamplesExchanged> inRound(String round, List<RoundResult> results) {
        Map<String, Map<String, Map<String, RoundResult>>> byMethod = new TreeMap<>();
        Set<String> names = new TreeSet<>();
        for (RoundResult result : results) {
            if (scale(result) > 0) {
                byMethod.computeIfAbsent(result.method(), method -> new TreeMap<>())
                        .computeIfAbsent(result.analyte(), analyte -> new HashMap<>())
                        .put(result.sample(), result);
                names.add(result.sample());
            }
        }
        List<String> samples = List.copyOf(names);
        int pairs = samples.size() * (samples.size() - 1) / 2;
        double needed = Math.log10(Math.max(1, pairs) * (byMethod.size() + 1) / FALSE_ALARM);
        List<SamplesExchanged> all = new ArrayList<>();
        for (int i = 0; i < samples.size(); i++) {
            for (int j = i + 1; j < samples.size(); j++) {
                Pair pair = new Pair(samples.get(i), samples.get(j));
                List<Said> said = new ArrayList<>();
                byMethod.forEach((method, analytes) -> said.add(said(method, analytes, pair)));
                List<Said> speaking =
                        said.stream().filter(one -> one.results() > 0).toList();
                candidate(round, pair, speaking, needed, all);
                speaking.forEach(one -> candidate(round, pair, List.of(one), needed, all));
            }
        }
        all.sort(Comparator.comparingDouble(SamplesExchanged::log10Odds).reversed());
        List<SamplesExchanged> kept = new ArrayList<>();
        Set<String> taken = new HashSet<>();
        for (SamplesExchanged one : all) {
            if (!taken.contains(one.first()) && !taken.contains(one.second())) {
                taken.add(one.first());
                taken.add(one.second());
                kept.add(one);
            }
        }
        return kept;
    }

    private static void candidate(
            String round, Pair pair, List<Said> said, double needed, List<SamplesExchanged> found) {
        int results = said.stream().mapToInt(Said::results).sum();
        double log10 = said.stream().mapToDouble(Said::log10).sum();
        double squares = said.stream().mapToDouble(Said::squares).sum();
        if (results > 0 && log10 >= needed && Math.sqrt(squares / (2 * results)) <= AGREES) {
            found.add(new SamplesExchanged(
                    round,
                    pair.first(),
                    pair.second(),
                    said.stream().map(Said::method).toList(),
                    results,
                    log10));
        }
    }

    private static Said said(String method, Map<String, Map<String, RoundResult>> analytes, Pair pair) {
        int results = 0;
        double log10 = 0;
        double squares = 0;
        for (Map<String, RoundResult> bySample : analytes.values()) {
            RoundResult first = bySample.get(pair.first());
            RoundResult second = bySample.get(pair.second());
            if (first != null && second != null) {
                results++;
                double one = score(first, second.value());
                double other = score(second, first.value());
                log10 += density(one)
                        + density(other)
                        - density(score(first, first.value()))
                        - density(score(second, second.value()));
                squares += one * one + other * other;
            }
        }
        return new Said(method, results, log10, squares);
    }

    private static double score(RoundResult place, double value) {
        return (value - place.assigned().value()) / scale(place);
    }

    // The standard deviation for assessment, or both uncertainties together; 0 where neither is known.
    private static double scale(RoundResult result) {
        return result.assigned()
                .sigma()
                .orElse(Math.hypot(
                        result.ownStandardU().orElse(0),
                        result.assigned().standardU().orElse(0)));
    }

    private static double density(double score) {
        return DENSITY.log10(score, 1);
    }
}
