package org.tenmesh.core.proficiency;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Spread;

/**
 * All results of one method, analyte and unit over the rounds: bias beside precision.
 *
 * @param scored by date, then round, then as given
 */
public record Series(String method, String analyte, Unit unit, List<Scored> scored) {
    public Series {
        scored = List.copyOf(scored);
    }

    private record Key(String method, String analyte, Unit unit) {}

    /** One series for each method, analyte and unit, in the order of their names. */
    public static List<Series> of(List<RoundResult> results) {
        Map<Key, List<Scored>> series = new LinkedHashMap<>();
        results.stream()
                .sorted(Comparator.comparing(RoundResult::method)
                        .thenComparing(RoundResult::analyte)
                        .thenComparing(RoundResult::unit)
                        .thenComparing(RoundResult::date)
                        .thenComparing(RoundResult::round))
                .forEach(result -> series.computeIfAbsent(
                                new Key(result.method(), result.analyte(), result.unit()), key -> new ArrayList<>())
                        .add(Scored.of(result)));
        return series.entrySet().stream()
                .map(entry -> new Series(
                        entry.getKey().method(),
                        entry.getKey().analyte(),
                        entry.getKey().unit(),
                        entry.getValue()))
                .toList();
    }

    /** The scores that decide, in order; results without one left out. */
    public double[] scores() {
        return scored.stream()
                .map(Scored::deciding)
                .filter(OptionalDouble::isPresent)
                .mapToDouble(OptionalDouble::getAsDouble)
                .toArray();
    }

    /** Mean signed score: bias in standard deviations for assessment. Empty when there is none. */
    public OptionalDouble meanScore() {
        double[] scores = scores();
        return scores.length == 0
                ? OptionalDouble.empty()
                : OptionalDouble.of(Spread.of(scores).mean());
    }

    /** How far the mean score may lie from 0 by chance, 95 %: {@code t s / sqrt(n)}. Empty for fewer than three scores. */
    public OptionalDouble meanScoreLimit() {
        double[] scores = scores();
        return scores.length < 3
                ? OptionalDouble.empty()
                : OptionalDouble.of(Quantiles.t(0.975, scores.length - 1.0)
                        * Spread.of(scores).sd()
                        / Math.sqrt(scores.length));
    }

    /** Standard deviation of replicates, pooled over the results that have them, in the unit of the results. Empty when none has. */
    public OptionalDouble replicateSd() {
        List<double[]> replicated = scored.stream()
                .map(one -> one.result().own().stream()
                        .mapToDouble(Double::doubleValue)
                        .toArray())
                .filter(values -> values.length > 1)
                .toList();
        return replicated.isEmpty()
                ? OptionalDouble.empty()
                : OptionalDouble.of(Spread.pooledSd(
                        replicated.stream()
                                .mapToDouble(values -> Spread.of(values).sd())
                                .toArray(),
                        replicated.stream()
                                .mapToInt(values -> values.length - 1)
                                .toArray()));
    }

    /** The actions that the rounds open, in order; one a round at most. */
    public List<Action> actions() {
        Map<String, List<Scored>> rounds = new LinkedHashMap<>();
        scored.forEach(one -> rounds.computeIfAbsent(one.result().round(), round -> new ArrayList<>())
                .add(one));
        List<Action> actions = new ArrayList<>();
        Optional<Action.GoodRound> lastGood = Optional.empty();
        double before = 0;
        for (List<Scored> round : rounds.values()) {
            List<String> samples = new ArrayList<>();
            Action.Rule rule = Action.Rule.TWO_BEYOND_2;
            double worst = 0;
            boolean scoredAny = false;
            boolean good = true;
            for (Scored one : round) {
                if (one.deciding().isEmpty()) {
                    continue;
                }
                double score = one.deciding().getAsDouble();
                scoredAny = true;
                good &= one.verdict().equals(Optional.of(Scored.Verdict.SATISFACTORY));
                boolean beyond3 = one.verdict().equals(Optional.of(Scored.Verdict.ACTION));
                if (beyond3 || Math.min(score, before) > 2 || Math.max(score, before) < -2) {
                    samples.add(one.result().sample());
                    rule = beyond3 ? Action.Rule.BEYOND_3 : rule;
                    worst = Math.abs(score) > Math.abs(worst) ? score : worst;
                }
                before = score;
            }
            RoundResult any = round.get(0).result();
            if (!samples.isEmpty()) {
                actions.add(new Action(any.round(), any.date(), method, analyte, samples, rule, worst, lastGood));
            } else if (scoredAny && good) {
                lastGood = Optional.of(new Action.GoodRound(any.round(), any.date()));
            }
        }
        return actions;
    }
}
