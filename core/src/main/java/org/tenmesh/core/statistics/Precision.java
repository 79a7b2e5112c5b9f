package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Repeatability and reproducibility at one level, from the results of several laboratories on the same material.
 *
 * <p>Formulas (ISO 5725-2:1994, 7.4; from memory, reproduced on the published glucose study): repeatability variance
 * {@code sr^2} the pooled variance within laboratories; between laboratories {@code sL^2 = max(0, (sd^2 - sr^2)/n)} with
 * {@code sd^2} the mean square between and {@code n = (N - sum n[i]^2/N)/(p-1)}; reproducibility {@code sR^2 = sL^2 + sr^2}.
 *
 * @param mean mean of all results, in their unit
 * @param repeatabilitySd sr, same unit
 * @param betweenSd sL, same unit, 0 or more
 * @param laboratories how many, 2 or more
 * @param results how many in all
 */
public record Precision(double mean, double repeatabilitySd, double betweenSd, int laboratories, int results) {
    // 1.96 sqrt(2): two results differ by more once in twenty.
    private static final double PAIR = Quantiles.normal(0.975) * Math.sqrt(2);

    /**
     * From the results of each laboratory.
     *
     * @param results of each laboratory, one or more; outliers already dealt with
     * @throws IllegalArgumentException if there are fewer than two laboratories, one is empty, or none has two results
     */
    public static Precision of(double[][] results) {
        OneWay all = OneWay.of(results);
        double between = (all.betweenMeanSquare() - all.withinMeanSquare()) / all.replicates();
        return new Precision(all.mean(), all.residualSd(), Math.sqrt(Math.max(0, between)), all.groups(), all.n());
    }

    /** Reproducibility standard deviation sR; never below the repeatability's. */
    public double reproducibilitySd() {
        return Math.hypot(betweenSd, repeatabilitySd);
    }

    /** Largest difference of two results of one laboratory to be expected in nineteen cases of twenty: {@code 2.77 sr}. */
    public double repeatabilityLimit() {
        return PAIR * repeatabilitySd;
    }

    /** Largest difference of single results of two laboratories in nineteen cases of twenty: {@code 2.77 sR}. */
    public double reproducibilityLimit() {
        return PAIR * reproducibilitySd();
    }

    /** Largest range of n results of one laboratory to be expected in nineteen cases of twenty (ISO 5725-6, critical range). */
    public double criticalRange(int n) {
        return NormalRange.quantile(0.95, n) * repeatabilitySd;
    }

    /**
     * Mandel's h of each laboratory: {@code (m[i] - mean of the m) / their standard deviation} (ISO 5725-2:1994, 7.3.1; ASTM E691;
     * from memory, reproduced).
     *
     * @param results of each laboratory, all of the same number
     */
    public static double[] mandelH(double[][] results) {
        double[] means = Arrays.stream(results)
                .mapToDouble(values -> Spread.of(values).mean())
                .toArray();
        Spread spread = Spread.of(means);
        return Arrays.stream(means).map(m -> (m - spread.mean()) / spread.sd()).toArray();
    }

    /**
     * Mandel's k of each laboratory: its standard deviation over the pooled one (ISO 5725-2:1994, 7.3.1; ASTM E691; from memory,
     * reproduced).
     *
     * @param results of each laboratory, all of the same number
     */
    public static double[] mandelK(double[][] results) {
        double pooled = OneWay.of(results).residualSd();
        return Arrays.stream(results)
                .mapToDouble(values -> Spread.of(values).sd() / pooled)
                .toArray();
    }
}
