package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Grubbs' tests for one outlier and for two at the same end, of values that are normal but for it.
 *
 * <p>Formulas: {@code G = |x - mean| / s}; critical value {@code (n-1)/sqrt(n) sqrt(t^2/(n-2+t^2))} with Student's t of n - 2
 * degrees of freedom exceeded with chance alpha/n (a named end) or alpha/(2n) (either end): the values that ISO 5725-2:1994,
 * Table 5 prints as 5 % and 1 % are those for either end. Two at one end:
 * {@code G = sum of squares without the two / sum of squares of all}, small when they stand apart (ISO 5725-2:1994, 7.3.4; form read
 * at projects.bre.co.uk, Testing of industrial products, Formulae).
 */
public final class Grubbs {
    // Lower points of the pair's statistic, n = 4 to 30, either end; as carried by an open validation library that
    // names
    // Grubbs & Beck, Technometrics 14:847, 1972. They agree with what ISO 5725-2:1994, Table 5 is remembered to print.
    private static final double[] PAIR_5_PCT = {
        0.0002, 0.0090, 0.0349, 0.0708, 0.1101, 0.1492, 0.1864, 0.2213, 0.2537, 0.2836, 0.3112, 0.3367, 0.3603, 0.3822,
        0.4025, 0.4214, 0.4391, 0.4556, 0.4711, 0.4857, 0.4994, 0.5123, 0.5245, 0.5360, 0.5470, 0.5574, 0.5672
    };
    private static final double[] PAIR_1_PCT = {
        0.0000, 0.0018, 0.0116, 0.0308, 0.0563, 0.0851, 0.1150, 0.1448, 0.1738, 0.2016, 0.2280, 0.2530, 0.2767, 0.2990,
        0.3200, 0.3398, 0.3585, 0.3761, 0.3927, 0.4085, 0.4234, 0.4376, 0.4510, 0.4638, 0.4759, 0.4875, 0.4985
    };
    private static final int LEAST_FOR_PAIR = 4;

    private Grubbs() {}

    /** G of the largest value; NaN when all values are equal. Three values or more. */
    public static double highest(double[] values) {
        Spread spread = spread(values);
        return (Arrays.stream(values).max().orElseThrow() - spread.mean()) / spread.sd();
    }

    /** G of the smallest value; NaN when all values are equal. Three values or more. */
    public static double lowest(double[] values) {
        Spread spread = spread(values);
        return (spread.mean() - Arrays.stream(values).min().orElseThrow()) / spread.sd();
    }

    /** G of the value farthest from the mean; NaN when all values are equal. Three values or more. */
    public static double farthest(double[] values) {
        return Math.max(highest(values), lowest(values));
    }

    /**
     * The G that is exceeded with chance alpha when there is no outlier.
     *
     * @param n number of values, 3 or more
     * @param alpha 0 &lt; alpha &lt; 1
     */
    public static double critical(int n, double alpha, Suspect suspect) {
        least(n, 3);
        double t = Quantiles.t(suspect.share(alpha) / n, n - 2);
        return (n - 1) / Math.sqrt(n) * Math.sqrt(t * t / (n - 2 + t * t));
    }

    /** The pair's statistic of the two largest values, 0 to 1: small when they stand apart. Four values or more. */
    public static double pairHighest(double[] values) {
        double[] sorted = sorted(values);
        return squares(Arrays.copyOf(sorted, sorted.length - 2)) / squares(sorted);
    }

    /** The pair's statistic of the two smallest values, 0 to 1: small when they stand apart. Four values or more. */
    public static double pairLowest(double[] values) {
        double[] sorted = sorted(values);
        return squares(Arrays.copyOfRange(sorted, 2, sorted.length)) / squares(sorted);
    }

    /**
     * The pair's statistic that is fallen short of with a chance of 5 %, the pair being at whichever end is worse.
     *
     * @param n number of values, 4 to 30
     */
    public static double pairCritical5Pct(int n) {
        return PAIR_5_PCT[place(n)];
    }

    /**
     * The pair's statistic that is fallen short of with a chance of 1 %, the pair being at whichever end is worse.
     *
     * @param n number of values, 4 to 30
     */
    public static double pairCritical1Pct(int n) {
        return PAIR_1_PCT[place(n)];
    }

    private static int place(int n) {
        int at = n - LEAST_FOR_PAIR;
        if (at < 0 || at >= PAIR_5_PCT.length) {
            throw new IllegalArgumentException("the table for two outliers holds 4 to 30 values, found " + n);
        }
        return at;
    }

    private static Spread spread(double[] values) {
        least(values.length, 3);
        return Spread.of(values);
    }

    private static double[] sorted(double[] values) {
        least(values.length, LEAST_FOR_PAIR);
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        return sorted;
    }

    private static double squares(double[] values) {
        Spread spread = Spread.of(values);
        return spread.sd() * spread.sd() * (values.length - 1);
    }

    private static void least(int n, int least) {
        if (n < least) {
            throw new IllegalArgumentException("Grubbs' test needs " + least + " values or more, found " + n);
        }
    }
}
