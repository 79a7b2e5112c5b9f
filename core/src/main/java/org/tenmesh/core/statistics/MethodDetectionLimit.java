package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Method detection limit: the smallest measured amount that can be told from a method blank with 99 % confidence.
 *
 * <p>Formulas (40 CFR 136, Appendix B, revision 2; the definition and the choice of the first estimate read, section II (2) to (4)
 * from memory and as an open script computes it): from spiked portions {@code t(0.99, n-1) s}; from blanks, nothing when none gives
 * a number, the highest (of more than 100 the one at the 99th percentile) when some do, and {@code mean + t(0.99, n-1) s} with the mean
 * taken as 0 when negative when all do. The limit is the larger of the two.
 *
 * @param fromSpikes in the unit of the results
 * @param fromBlanks in the same unit; 0 when no blank gave a number
 * @param spikes how many spiked portions, 7 or more
 * @param blanks how many method blanks, 7 or more
 */
public record MethodDetectionLimit(double fromSpikes, double fromBlanks, int spikes, int blanks) {
    private static final double CONFIDENCE = 0.99;
    private static final int LEAST = 7;
    private static final int MANY = 100;

    /**
     * From spiked portions and method blanks that went through every step of the method.
     *
     * @param spikes results of portions spiked at one level, 7 or more
     * @param blanks results of the blanks that gave a number, below 0 too
     * @param blanksWithoutNumber blanks that gave none; with the others 7 or more
     * @throws IllegalArgumentException if there are fewer
     */
    public static MethodDetectionLimit of(double[] spikes, double[] blanks, int blanksWithoutNumber) {
        int all = blanks.length + blanksWithoutNumber;
        if (spikes.length < LEAST || all < LEAST) {
            throw new IllegalArgumentException(
                    "a method detection limit needs 7 spiked portions and 7 blanks or more, found " + spikes.length
                            + " and " + all);
        }
        return new MethodDetectionLimit(
                ofReplicates(spikes), ofBlanks(blanks, blanksWithoutNumber), spikes.length, all);
    }

    /**
     * The part that replicates alone give, {@code t(0.99, n-1) s}; the whole limit in revision 1.
     *
     * @param results two or more
     */
    public static double ofReplicates(double[] results) {
        return Quantiles.t(CONFIDENCE, results.length - 1) * Spread.of(results).sd();
    }

    private static double ofBlanks(double[] blanks, int withoutNumber) {
        int n = blanks.length;
        if (n == 0) {
            return 0;
        }
        if (withoutNumber == 0) {
            return Math.max(0, Spread.of(blanks).mean()) + ofReplicates(blanks);
        }
        double[] sorted = blanks.clone();
        Arrays.sort(sorted);
        int all = n + withoutNumber;
        // Blanks without a number rank below those with one.
        long fromTop = all > MANY ? all - Math.round(CONFIDENCE * all) : 0;
        return fromTop < n ? Math.max(0, sorted[(int) (n - 1 - fromTop)]) : 0;
    }

    /** The limit: the larger of the two. */
    public double value() {
        return Math.max(fromSpikes, fromBlanks);
    }

    /** Lower end of the 95 % confidence interval of a limit from n replicates, as a share of it: {@code sqrt(nu/chi2(0.975))}. */
    public static double lowerShare(int replicates) {
        int degrees = replicates - 1;
        return Math.sqrt(degrees / Quantiles.chiSquare(0.975, degrees));
    }

    /** Upper end of the 95 % confidence interval of a limit from n replicates, as a share of it: {@code sqrt(nu/chi2(0.025))}. */
    public static double upperShare(int replicates) {
        int degrees = replicates - 1;
        return Math.sqrt(degrees / Quantiles.chiSquare(0.025, degrees));
    }
}
