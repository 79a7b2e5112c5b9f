package org.tenmesh.core.statistics;

/**
 * How far a laboratory's result lies from an assigned value (ISO 13528:2015, section 9; forms from memory). x result, X assigned
 * value, both in the analyte's unit; all uncertainties in the same unit. A score of 2 in size is a warning, 3 calls for action; of
 * {@link #en} 1 is the limit.
 */
public final class Scores {
    private Scores() {}

    /** {@code z = (x - X) / sigma}, sigma the standard deviation for assessment, above 0. */
    public static double z(double x, double assigned, double sigma) {
        return (x - assigned) / above0(sigma);
    }

    /** {@code z' = (x - X) / sqrt(sigma^2 + u(X)^2)}: z where the assigned value's standard uncertainty u(X) counts. */
    public static double zPrime(double x, double assigned, double sigma, double assignedU) {
        return (x - assigned) / Math.hypot(above0(sigma), assignedU);
    }

    /** {@code zeta = (x - X) / sqrt(u(x)^2 + u(X)^2)}, both standard uncertainties. */
    public static double zeta(double x, double xU, double assigned, double assignedU) {
        return (x - assigned) / above0(Math.hypot(xU, assignedU));
    }

    /** {@code En = (x - X) / sqrt(U(x)^2 + U(X)^2)}, both expanded uncertainties, k = 2. */
    public static double en(double x, double xExpandedU, double assigned, double assignedExpandedU) {
        return zeta(x, xExpandedU, assigned, assignedExpandedU);
    }

    /** Standard uncertainty of a robust mean of p results with robust standard deviation s: {@code 1.25 s / sqrt(p)}. */
    public static double robustMeanU(double robustSd, int results) {
        return 1.25 * robustSd / Math.sqrt(results);
    }

    private static double above0(double spread) {
        if (!(spread > 0)) {
            throw new IllegalArgumentException("a score needs a spread above 0, found " + spread);
        }
        return spread;
    }
}
