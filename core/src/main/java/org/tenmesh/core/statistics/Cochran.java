package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Cochran's test for one variance larger than the others, groups of equal size.
 *
 * <p>Formulas: {@code C = largest s^2 / sum s^2}; critical value {@code 1 / (1 + (p-1)/F)} with F of n - 1 and (p-1)(n-1) degrees
 * of freedom exceeded with chance alpha/p ('t Lam, Scrutiny of variance results for outliers: Cochran's test optimized, Anal.
 * Chim. Acta 659:68, 2010; form read in an open R package).
 */
public final class Cochran {
    private Cochran() {}

    /**
     * C of some variances, 1/p to 1; NaN when all are 0.
     *
     * @param variances of two groups or more, 0 or more each
     */
    public static double statistic(double[] variances) {
        groups(variances.length);
        return Arrays.stream(variances).max().orElseThrow()
                / Arrays.stream(variances).sum();
    }

    /**
     * The C that is exceeded with chance alpha when the true variances are equal.
     *
     * @param groups number of groups p, 2 or more
     * @param replicates values in each group n, 2 or more
     * @param alpha 0 &lt; alpha &lt; 1
     */
    public static double critical(int groups, int replicates, double alpha) {
        groups(groups);
        if (replicates < 2) {
            throw new IllegalArgumentException(
                    "Cochran's test needs two values or more in a group, found " + replicates);
        }
        int degrees = replicates - 1;
        // 1/F with its degrees exchanged: the lower tail keeps the digits of a small alpha.
        double inverse = Quantiles.f(alpha / groups, (double) (groups - 1) * degrees, degrees);
        return 1 / (1 + (groups - 1) * inverse);
    }

    private static void groups(int p) {
        if (p < 2) {
            throw new IllegalArgumentException("Cochran's test needs two groups or more, found " + p);
        }
    }
}
