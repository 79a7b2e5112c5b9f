package org.tenmesh.core.statistics;

/**
 * One-way analysis of variance: does the mean differ from group to group by more than the values within them do.
 *
 * <p>Formulas, for p groups of n[i] values, N in all, group means m[i], mean of all m:
 * {@code SSB = sum n[i] (m[i] - m)^2} with p - 1 degrees of freedom, {@code SSW = sum sum (y - m[i])^2} with N - p,
 * {@code F = (SSB / (p - 1)) / (SSW / (N - p))}, {@code R^2 = SSB / (SSB + SSW)} (NIST Statistical Reference Datasets, analysis
 * of variance). Means are kept to twice the digits of a double and squares are summed about them, so that nothing is lost beyond
 * what reading the decimal text into doubles lost.
 *
 * @param groups number of groups, 2 or more
 * @param n number of values, more than groups
 * @param mean mean of all values, in their unit
 * @param betweenSumOfSquares SSB, squared unit
 * @param withinSumOfSquares SSW, squared unit
 * @param replicates what the group size counts as: {@code (N - sum n[i]^2 / N) / (p - 1)}; the size itself when all are alike
 */
public record OneWay(
        int groups, int n, double mean, double betweenSumOfSquares, double withinSumOfSquares, double replicates) {

    /**
     * Analyses groups of values.
     *
     * @param values the values of each group, one or more in each
     * @throws IllegalArgumentException if there are fewer than two groups, one is empty, or none has two values
     */
    public static OneWay of(double[][] values) {
        int p = values.length;
        int n = 0;
        double sizesSquared = 0;
        CompensatedSum all = new CompensatedSum(0);
        CompensatedSum.Mean[] means = new CompensatedSum.Mean[p];
        for (int i = 0; i < p; i++) {
            int size = values[i].length;
            if (size == 0) {
                throw new IllegalArgumentException("group " + i + " has no value: expected one or more");
            }
            CompensatedSum sum = new CompensatedSum(0);
            for (double value : values[i]) {
                sum.add(value);
                all.add(value);
            }
            means[i] = sum.over(size);
            n += size;
            sizesSquared += (double) size * size;
        }
        if (p < 2 || n <= p) {
            throw new IllegalArgumentException(
                    "an analysis of variance needs two groups and more values than groups, found " + p + " groups and "
                            + n + " values");
        }

        CompensatedSum.Mean mean = all.over(n);
        CompensatedSum between = new CompensatedSum(0);
        CompensatedSum within = new CompensatedSum(0);
        for (int i = 0; i < p; i++) {
            double off = means[i].less(mean);
            between.addProduct(values[i].length * off, off);
            for (double value : values[i]) {
                double rest = means[i].from(value);
                within.addProduct(rest, rest);
            }
        }
        return new OneWay(p, n, mean.high(), between.value(), within.value(), (n - sizesSquared / n) / (p - 1));
    }

    /** Degrees of freedom between groups, p - 1. */
    public int betweenDegrees() {
        return groups - 1;
    }

    /** Degrees of freedom within groups, N - p. */
    public int withinDegrees() {
        return n - groups;
    }

    /** Mean square between groups. */
    public double betweenMeanSquare() {
        return betweenSumOfSquares / betweenDegrees();
    }

    /** Mean square within groups: the pooled variance. */
    public double withinMeanSquare() {
        return withinSumOfSquares / withinDegrees();
    }

    /** Ratio of the mean squares; infinite when all groups are without spread. */
    public double f() {
        return betweenMeanSquare() / withinMeanSquare();
    }

    /** Chance of an F this large or larger when the groups do not differ. */
    public double chance() {
        return Quantiles.fAbove(f(), betweenDegrees(), withinDegrees());
    }

    /** Share of the sum of squares that lies between groups, 0 to 1. */
    public double rSquared() {
        return betweenSumOfSquares / (betweenSumOfSquares + withinSumOfSquares);
    }

    /** Standard deviation within groups. */
    public double residualSd() {
        return Math.sqrt(withinMeanSquare());
    }
}
