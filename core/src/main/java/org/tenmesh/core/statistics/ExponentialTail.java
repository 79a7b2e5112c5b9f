package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * How often values of a sample exceed a large one: above a threshold the excesses are taken as exponential, the tail of every distribution
 * of the Gumbel domain above a high quantile (Pickands 1975, Ann. Stat. 3:119, shape 0; Coles 2001, An Introduction to Statistical Modeling
 * of Extreme Values, chapter 4). A log-likelihood ratio of t densities has such a tail when the values themselves have a power tail.
 *
 * <p>The scale is not known but estimated: with a gamma density of its reciprocal the chance of the next value is that of a Pareto
 * density of the second kind, {@code (1 + x / (b + sum))^-(a + n)}, wider the fewer excesses there are (conjugate analysis of the exponential;
 * common practice). The density beforehand counts as {@code a} excesses of a stated mean.
 *
 * @param threshold above which excesses count
 * @param all values in the sample
 * @param above values above the threshold
 * @param excess sum of their excesses
 * @param weight excesses that the scale known beforehand counts as, above 0
 * @param scale mean excess known beforehand, above 0
 */
public record ExponentialTail(double threshold, int all, int above, double excess, double weight, double scale) {
    /**
     * The tail of a sample.
     *
     * @param values at least all of its values above {@code floor}, in any order
     * @param all how many values the sample has
     * @param floor least threshold
     * @param share of the sample above the threshold at the most
     */
    public static ExponentialTail of(
            double[] values, int all, double floor, double share, double weight, double scale) {
        double[] rising =
                Arrays.stream(values).filter(value -> value > floor).sorted().toArray();
        int most = (int) Math.ceil(share * all);
        double threshold = rising.length > most ? rising[rising.length - 1 - most] : floor;
        int above = 0;
        double excess = 0;
        for (double value : rising) {
            if (value > threshold) {
                above++;
                excess += value - threshold;
            }
        }
        return new ExponentialTail(threshold, all, above, excess, weight, scale);
    }

    /** Mean excess, that known beforehand counted as its weight says. */
    public double meanExcess() {
        return (weight * scale + excess) / (weight + above);
    }

    /** Common logarithm of the chance that the next value exceeds this one; below the threshold that of exceeding the threshold. */
    public double log10Chance(double value) {
        double over = Math.max(0, value - threshold);
        return Math.log10((above + 1.0) / Math.max(above + 1.0, all + 1.0))
                - (weight + above) * Math.log1p(over / (weight * scale + excess)) / Math.log(10);
    }

    /**
     * Common logarithm of the likelihood ratio of a value: its density were it one of a kind that spreads widely, over its density in this
     * tail. The kind's density is {@code (1 / spread) (1 + x / spread)^-2}, half of it within the spread; no tail here is as wide.
     *
     * @param spread above 0, in the units of the values
     */
    public double log10Ratio(double value, double spread) {
        double over = Math.max(0, value - threshold);
        double beside = weight * scale + excess;
        double ln = Math.log((above + 1.0) / Math.max(above + 1.0, all + 1.0))
                + Math.log((weight + above) / beside)
                - (weight + above + 1) * Math.log1p(over / beside);
        return (-Math.log(spread) - 2 * Math.log1p(over / spread) - ln) / Math.log(10);
    }
}
