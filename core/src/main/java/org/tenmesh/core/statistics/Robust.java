package org.tenmesh.core.statistics;

import java.util.Arrays;

/** Location and spread that a few wild values cannot move. */
public final class Robust {
    // 1 / (0.75 quantile of the normal distribution): makes the deviation agree with the SD of normal values.
    private static final double NORMAL = 1.482602218505602;

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
}
