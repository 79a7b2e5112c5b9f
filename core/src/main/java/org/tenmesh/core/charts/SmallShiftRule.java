package org.tenmesh.core.charts;

import org.tenmesh.core.statistics.Quantiles;

/**
 * When an exponentially weighted moving average calls a shift: as seldom, without a fault, as it is told to.
 *
 * @param lambda weight of the newest point, 0.2: a shift of one standard deviation is found soonest by weights of 0.1 to 0.25 (Lucas and
 *     Saccucci 1990, Technometrics 32:1)
 * @param width of the limits in the average's own standard deviations, for a centre and a standard deviation that are known
 * @param reference of the cumulative sum that dates a shift: half a standard deviation
 */
public record SmallShiftRule(double lambda, double width, double reference) {
    private static final double LAMBDA = 0.2;
    private static final double REFERENCE = 0.5;
    private static final double NARROWEST = 1;
    private static final double WIDEST = 7;

    /**
     * The rule that signals with a given chance at a point where nothing is wrong, in the long run: its limits are those whose
     * {@link RunLength#ewma average run length} is {@code 1 / falseAlarm}.
     *
     * @param falseAlarm above 0 and at most 0.05
     */
    public static SmallShiftRule of(double falseAlarm) {
        if (!(falseAlarm > 0 && falseAlarm <= 0.05)) {
            throw new IllegalArgumentException(
                    "the chance of a false alarm at a point must lie above 0 and at most at 0.05, found " + falseAlarm);
        }
        double low = NARROWEST;
        double high = WIDEST;
        while (high - low > 1e-6) {
            double middle = (low + high) / 2;
            if (RunLength.ewma(LAMBDA, middle, 0) < 1 / falseAlarm) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return new SmallShiftRule(LAMBDA, high, REFERENCE);
    }

    /**
     * Limit of the average after {@code points} points, by limits that rest on {@code runs} runs. The centre of {@code runs} runs is itself
     * uncertain by {@code 1/sqrt(runs)} of a point's standard deviation, and an average of many points sees that: its variance is added. The
     * standard deviation is uncertain too: the normal quantile behind the width becomes Student's t of {@code runs - 1} degrees.
     */
    public double limit(int points, int runs) {
        double variance = lambda / (2 - lambda) * (1 - Math.pow(1 - lambda, 2.0 * points)) + 1.0 / runs;
        return known(runs) * Math.sqrt(variance);
    }

    private double known(int runs) {
        double tail = Quantiles.normalBelow(-width);
        return -Quantiles.t(tail, runs - 1);
    }
}
