package org.tenmesh.core.statistics;

import org.hipparchus.special.Gamma;

/**
 * Factors of control charts for groups of n values, three standard deviations.
 *
 * <p>{@code d2}, {@code d3} mean and standard deviation of the range ({@link NormalRange});
 * {@code c4 = sqrt(2/(n-1)) Gamma(n/2) / Gamma((n-1)/2)}, what the standard deviation of n values is short of the true one;
 * the others follow (SAS/QC User's Guide, Deriving control chart constants; read). All computed, none from a table.
 *
 * @param n values in a group, 2 or more
 * @param d2 mean range over sigma
 * @param d3 standard deviation of the range over sigma
 * @param c4 mean standard deviation over sigma
 */
public record ChartConstants(int n, double d2, double d3, double c4) {
    private static final double WIDTH = 3;

    /**
     * The factors for groups of n values.
     *
     * @throws IllegalArgumentException if n is below 2
     */
    public static ChartConstants of(int n) {
        double d2 = NormalRange.mean(n);
        double c4 = Math.sqrt(2.0 / (n - 1)) * Math.exp(Gamma.logGamma(n / 2.0) - Gamma.logGamma((n - 1) / 2.0));
        return new ChartConstants(n, d2, NormalRange.sd(n), c4);
    }

    /** Limits of the mean from a known sigma: {@code 3/sqrt(n)}. */
    public double a() {
        return WIDTH / Math.sqrt(n);
    }

    /** Limits of the mean from the mean range. */
    public double a2() {
        return a() / d2;
    }

    /** Limits of the mean from the mean standard deviation. */
    public double a3() {
        return a() / c4;
    }

    /** Lower limit of the standard deviation, as a share of its mean; never below 0. */
    public double b3() {
        return Math.max(0, 1 - WIDTH * sdOfSd() / c4);
    }

    /** Upper limit of the standard deviation, as a share of its mean. */
    public double b4() {
        return 1 + WIDTH * sdOfSd() / c4;
    }

    /** Lower limit of the standard deviation, as a share of a known sigma; never below 0. */
    public double b5() {
        return Math.max(0, c4 - WIDTH * sdOfSd());
    }

    /** Upper limit of the standard deviation, as a share of a known sigma. */
    public double b6() {
        return c4 + WIDTH * sdOfSd();
    }

    /** Lower limit of the range, as a share of a known sigma; never below 0. Printed as D1. */
    public double lowerRangeOfSigma() {
        return Math.max(0, d2 - WIDTH * d3);
    }

    /** Upper limit of the range, as a share of a known sigma. Printed as D2, which is not d2. */
    public double upperRangeOfSigma() {
        return d2 + WIDTH * d3;
    }

    /** Lower limit of the range, as a share of its mean; never below 0. Printed as D3, which is not d3. */
    public double lowerRange() {
        return Math.max(0, 1 - WIDTH * d3 / d2);
    }

    /** Upper limit of the range, as a share of its mean. Printed as D4. */
    public double upperRange() {
        return 1 + WIDTH * d3 / d2;
    }

    /** Limits of single values from the mean range. */
    public double e2() {
        return WIDTH / d2;
    }

    private double sdOfSd() {
        return Math.sqrt(1 - c4 * c4);
    }
}
