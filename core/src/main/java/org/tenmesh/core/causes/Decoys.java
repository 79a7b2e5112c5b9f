package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.statistics.ExponentialTail;

/**
 * Ratios of exchanges, portions or readings that did not happen, on the same soils: what chance alone gives a question of one method.
 *
 * @param promising those whose log10 ratio is above 0
 * @param all how many were weighed, the promising ones among them
 */
record Decoys(List<Decoy> promising, int all) {
    static final Decoys NONE = new Decoys(List.of(), 0);

    /**
     * One of them.
     *
     * @param one a row it speaks of; decoys that speak of a soil in question say nothing of chance
     * @param other another row, or the same
     * @param ratio log10 likelihood ratio
     */
    record Decoy(int one, int other, double ratio) {}

    Decoys {
        promising = List.copyOf(promising);
    }

    /** Collects decoys in a fixed order. */
    static final class Weighed {
        private final List<Decoy> promising = new ArrayList<>();
        private int all;

        void add(int one, int other, double ratio) {
            all++;
            if (ratio > 0) {
                promising.add(new Decoy(one, other, ratio));
            }
        }

        Decoys decoys() {
            return new Decoys(promising, all);
        }
    }

    static Decoys together(Collection<Decoys> of) {
        return new Decoys(
                of.stream().flatMap(one -> one.promising().stream()).toList(),
                of.stream().mapToInt(Decoys::all).sum());
    }

    /** Mean excess of an honest log10 ratio: a tenth for each decade (Markov). */
    static final double HONEST_EXCESS = 1 / Math.log(10);

    /**
     * What a ratio is worth on these soils.
     *
     * @param ratio log10 likelihood ratio as the model gives it
     * @param rows soils in question
     * @param rate how often it happens, of all the times it is asked
     * @param tries how many times the day asks it
     * @param excess mean excess of the tail as far as it is known beforehand, log10
     * @param says what the rate rests on, for people; may be empty text
     */
    Weight weight(double ratio, Set<Integer> rows, double rate, int tries, double excess, String says, Policy policy) {
        ExponentialTail tail = tail(rows, excess, policy);
        double calibrated = tail.log10Ratio(ratio, policy.number(Setting.EVIDENCE_SPREAD));
        return new Weight(
                calibrated,
                calibrated + Math.log10(rate / (1 - rate)),
                tail.log10Chance(ratio) + Math.log10(tries),
                says);
    }

    /**
     * Mean excess of the tail without some soils, log10; that of an honest ratio or more.
     *
     * @param rows soils in question
     */
    double meanExcess(Set<Integer> rows, Policy policy) {
        return Math.max(HONEST_EXCESS, tail(rows, HONEST_EXCESS, policy).meanExcess());
    }

    private ExponentialTail tail(Set<Integer> rows, double excess, Policy policy) {
        double[] apart = promising.stream()
                .filter(decoy -> !rows.contains(decoy.one()) && !rows.contains(decoy.other()))
                .mapToDouble(Decoy::ratio)
                .toArray();
        return ExponentialTail.of(
                apart,
                all - (promising.size() - apart.length),
                0,
                policy.number(Setting.DECOY_TAIL),
                policy.number(Setting.DECOY_PRIOR),
                excess);
    }
}
