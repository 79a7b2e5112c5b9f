package org.tenmesh.core.statistics;

import java.util.Arrays;

/** Location and spread that a few wild values cannot move. */
public final class Robust {
    // 1 / (0.75 quantile of the normal distribution): makes the deviation agree with the SD of normal values.
    private static final double NORMAL = 1.482602218505602;
    private static final double PULL_IN = 1.5;
    private static final int MOST_STEPS = 10_000;

    private Robust() {}

    /**
     * The middle value, or the mean of the two middle ones.
     *
     * @throws IllegalArgumentException if there is no value
     */
    public static double median(double[] values) {
        if (values.length == 0) {
            throw new IllegalArgumentException("a median needs one value or more, found none");
        }
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        int middle = sorted.length / 2;
        return sorted.length % 2 == 1 ? sorted[middle] : sorted[middle - 1] / 2 + sorted[middle] / 2;
    }

    /**
     * Median absolute deviation from the median, times 1.4826 so that it estimates the standard deviation of normal
     * values (Venables & Ripley, Modern Applied Statistics with S, 4th ed., section 5.5).
     *
     * @throws IllegalArgumentException if there is no value
     */
    public static double scaledMad(double[] values) {
        double centre = median(values);
        double[] away = new double[values.length];
        for (int i = 0; i < values.length; i++) {
            away[i] = Math.abs(values[i] - centre);
        }
        return NORMAL * median(away);
    }

    /**
     * Interpolated quantile: between the sorted values k and k + 1, {@code k + fraction = 1 + (n - 1) p} (type 7 of Hyndman & Fan,
     * Am. Stat. 50:361, 1996; from memory).
     *
     * @param p 0 to 1
     * @throws IllegalArgumentException if there is no value or p lies outside
     */
    public static double quantile(double[] values, double p) {
        if (values.length == 0 || !(p >= 0 && p <= 1)) {
            throw new IllegalArgumentException(
                    "a quantile needs a value or more and a share of 0 to 1, found " + values.length + " and " + p);
        }
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        double at = (sorted.length - 1) * p;
        int below = (int) at;
        int above = Math.min(below + 1, sorted.length - 1);
        return sorted[below] + (at - below) * (sorted[above] - sorted[below]);
    }

    /**
     * Distance of the quartiles times 0.7413, so that it estimates the standard deviation of normal values.
     *
     * @throws IllegalArgumentException if there is no value
     */
    public static double normalisedIqr(double[] values) {
        return NORMAL / 2 * (quantile(values, 0.75) - quantile(values, 0.25));
    }

    /** The two factors of Algorithm A. */
    public enum Factors {
        /** As printed by ISO 13528:2005, Annex C: 1.483 and 1.134. */
        AS_PRINTED(1.483, 1.134),
        /** Unrounded: {@code 1/z(0.75)}, and {@code 1/sqrt(E min(z^2, 1.5^2))} of a standard normal z. */
        EXACT(NORMAL, 1 / Math.sqrt(pulledInVariance()));

        private final double start;
        private final double sd;

        Factors(double start, double sd) {
            this.start = start;
            this.sd = sd;
        }

        /** What the median absolute deviation is multiplied by at the start. */
        public double start() {
            return start;
        }

        /** What the standard deviation of the values pulled in is multiplied by. */
        public double sd() {
            return sd;
        }

        private static double pulledInVariance() {
            double inside = 2 * Quantiles.normalBelow(PULL_IN) - 1;
            return inside + PULL_IN * PULL_IN * (1 - inside) - 2 * PULL_IN * NormalCurve.density(PULL_IN);
        }
    }

    /** When Algorithm A stops. It matters: the fourth figure still moves when the third has settled. */
    public enum Stop {
        /** The third significant figure of the standard deviation and the same place of the mean no longer change (ISO 13528). */
        THIRD_FIGURE,
        /** Neither changes by more than a millionth of a millionth of the standard deviation. */
        SETTLED
    }

    /**
     * A robust mean and standard deviation.
     *
     * @param mean in the unit of the values
     * @param sd same unit; 0 when half the values or more are equal
     * @param steps how often it was improved
     */
    public record Estimate(double mean, double sd, int steps) {}

    /**
     * Algorithm A: start from median and scaled median absolute deviation s; pull values in to the mean +- 1.5 s; take the mean and
     * {@code 1.134 sqrt(sum (x - mean)^2 / (p - 1))} of these as the new ones; repeat (ISO 13528:2005, Annex C.1, from ISO 5725-5; read in
     * public copies of the annex).
     *
     * @param values two or more
     * @throws IllegalArgumentException if there are fewer
     */
    public static Estimate algorithmA(double[] values, Factors factors, Stop stop) {
        if (values.length < 2) {
            throw new IllegalArgumentException("Algorithm A needs two values or more, found " + values.length);
        }
        double mean = median(values);
        double sd = factors.start * (scaledMad(values) / NORMAL);
        double[] pulled = new double[values.length];
        for (int step = 1; step < MOST_STEPS && sd > 0; step++) {
            for (int i = 0; i < values.length; i++) {
                pulled[i] = Math.max(mean - PULL_IN * sd, Math.min(mean + PULL_IN * sd, values[i]));
            }
            Spread spread = Spread.of(pulled);
            double nextSd = factors.sd * spread.sd();
            boolean done = stop == Stop.SETTLED
                    ? Math.max(Math.abs(nextSd - sd), Math.abs(spread.mean() - mean))
                            <= 1e-12 * nextSd + 4 * Math.ulp(mean)
                    : thirdFigureStands(mean, sd, spread.mean(), nextSd);
            mean = spread.mean();
            sd = nextSd;
            if (done) {
                return new Estimate(mean, sd, step);
            }
        }
        return new Estimate(mean, sd, 0);
    }

    private static boolean thirdFigureStands(double mean, double sd, double nextMean, double nextSd) {
        double unit = Math.pow(10, Math.floor(Math.log10(nextSd)) - 2);
        return Math.rint(nextSd / unit) == Math.rint(sd / unit) && Math.rint(nextMean / unit) == Math.rint(mean / unit);
    }
}
