package org.tenmesh.core.statistics;

/**
 * Mean, standard deviation and lag-1 autocorrelation of a row of values, taken in two passes so that a large common
 * part cancels before anything is squared.
 *
 * <p>Formulas: {@code sd = sqrt(sum (y - mean)^2 / (n - 1))}; {@code lag1 = sum (y[i] - mean)(y[i+1] - mean) / sum (y -
 * mean)^2} (NIST Statistical Reference Datasets, univariate summary statistics).
 *
 * @param n number of values, 1 or more
 * @param mean in the unit of the values
 * @param sd standard deviation with n - 1, in the unit of the values; NaN when n is 1
 * @param lag1 lag-1 autocorrelation, -1 to 1; NaN when all values are equal
 */
public record Spread(int n, double mean, double sd, double lag1) {

    /**
     * The spread of some values.
     *
     * @throws IllegalArgumentException if there is no value
     */
    public static Spread of(double[] values) {
        int n = values.length;
        if (n == 0) {
            throw new IllegalArgumentException("a mean needs one value or more, found none");
        }
        double first = values[0];
        double sum = 0;
        for (double value : values) {
            sum += value - first;
        }
        double shift = sum / n;
        // A second pass takes out what the first mean lost to rounding.
        double rest = 0;
        for (double value : values) {
            rest += value - first - shift;
        }
        shift += rest / n;
        double squares = 0;
        double left = 0;
        double products = 0;
        double before = 0;
        for (int i = 0; i < n; i++) {
            double d = values[i] - first - shift;
            squares += d * d;
            left += d;
            if (i > 0) {
                products += before * d;
            }
            before = d;
        }
        double centred = squares - left * left / n;
        return new Spread(n, first + shift, Math.sqrt(centred / (n - 1)), products / centred);
    }

    /**
     * Standard deviation pooled over groups: {@code sqrt(sum nu s^2 / sum nu)} (ISO 5725-2, repeatability; from memory).
     *
     * @param sds standard deviation of each group
     * @param degrees degrees of freedom of each group, n - 1; a group with 0 adds nothing
     * @throws IllegalArgumentException if the lengths differ or no group has a degree of freedom
     */
    public static double pooledSd(double[] sds, int[] degrees) {
        if (sds.length != degrees.length) {
            throw new IllegalArgumentException(sds.length + " standard deviations but " + degrees.length
                    + " degrees of freedom: expected one for each");
        }
        double squares = 0;
        long total = 0;
        for (int i = 0; i < sds.length; i++) {
            if (degrees[i] > 0) {
                squares += degrees[i] * sds[i] * sds[i];
                total += degrees[i];
            }
        }
        if (total == 0) {
            throw new IllegalArgumentException("pooling needs a group of two or more values, found none");
        }
        return Math.sqrt(squares / total);
    }

    /**
     * Standard deviation of one determination from pairs of portions: {@code sqrt(sum d^2 / (2 n))}.
     *
     * @param first first portion of each pair
     * @param second second portion, same order and unit
     * @throws IllegalArgumentException if the lengths differ or there is no pair
     */
    public static double ofDuplicates(double[] first, double[] second) {
        if (first.length != second.length || first.length == 0) {
            throw new IllegalArgumentException(
                    "pairs are needed, found " + first.length + " first and " + second.length + " second portions");
        }
        double squares = 0;
        for (int i = 0; i < first.length; i++) {
            double d = first[i] - second[i];
            squares += d * d;
        }
        return Math.sqrt(squares / (2.0 * first.length));
    }

    /**
     * Standard deviation of one determination from the ranges of groups of n portions: {@code mean range / d2(n)}.
     *
     * @param ranges largest less smallest of each group, one or more
     * @param n portions in each group, 2 or more
     */
    public static double ofRanges(double[] ranges, int n) {
        return of(ranges).mean() / NormalRange.mean(n);
    }

    /**
     * Relative difference of two portions, in percent of their mean: {@code 100 |a - b| / ((a + b)/2)} (US EPA SW-846 method 6010D,
     * section 9.7.2; its terms read). NaN when both are 0.
     */
    public static double relativeDifferencePct(double a, double b) {
        return 100 * Math.abs(a - b) / Math.abs((a + b) / 2);
    }
}
