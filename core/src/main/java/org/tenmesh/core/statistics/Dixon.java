package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Dixon's test: how much of the spread is the gap between the suspect and its neighbour.
 *
 * <p>Formulas, values sorted, the largest suspected (the smallest by mirror image): {@code r = (x[n] - x[n-a]) / (x[n] - x[1+b])},
 * named r10, r11, r12, r20, r21, r22 by a and b. Customary choice: r10 for 3 to 7 values, r11 for 8 to 10, r21 for 11 to 13, r22 from
 * 14 (Dixon, Biometrics 9:74, 1953; as used by open libraries that were read). Critical values are computed here, by integrating the
 * joint density of the three order statistics, not taken from a table: the tables of 1951, still reprinted, are off by up to four units
 * of their third decimal.
 */
public final class Dixon {
    private Dixon() {}

    /** Which gap over which spread. */
    public enum Ratio {
        /** The last gap over the whole range. */
        R10(1, 0),
        /** The last gap, the value at the other end left out. */
        R11(1, 1),
        /** The last gap, the two values at the other end left out. */
        R12(1, 2),
        /** The last two gaps over the whole range. */
        R20(2, 0),
        /** The last two gaps, the value at the other end left out. */
        R21(2, 1),
        /** The last two gaps, the two values at the other end left out. */
        R22(2, 2);

        private final int gaps;
        private final int leftOut;

        Ratio(int gaps, int leftOut) {
            this.gaps = gaps;
            this.leftOut = leftOut;
        }

        /** The customary ratio for n values, 3 or more. */
        public static Ratio customary(int n) {
            if (n <= 7) {
                return R10;
            }
            return n <= 10 ? R11 : n <= 13 ? R21 : R22;
        }

        /** Fewest values this ratio can be formed of. */
        public int least() {
            return gaps + leftOut + 2;
        }

        /** The ratio of the largest value, 0 to 1; NaN when the values compared are equal. */
        public double highest(double[] values) {
            double[] sorted = values.clone();
            Arrays.sort(sorted);
            int n = require(sorted.length);
            return (sorted[n - 1] - sorted[n - 1 - gaps]) / (sorted[n - 1] - sorted[leftOut]);
        }

        /** The ratio of the smallest value, 0 to 1; NaN when the values compared are equal. */
        public double lowest(double[] values) {
            return highest(Arrays.stream(values).map(value -> -value).toArray());
        }

        /**
         * The chance that the ratio of a named end exceeds r when there is no outlier.
         *
         * @param r 0 to 1
         * @param n number of values, {@link #least()} or more
         */
        public double above(double r, int n) {
            int between = require(n) - least();
            double ways = factorialRatio(n, between);
            return ways
                    * NormalCurve.overLine(z -> {
                        double low = NormalCurve.below(z);
                        double edge = NormalCurve.density(z) * Math.pow(low, leftOut) / (leftOut == 2 ? 2 : 1);
                        return edge
                                * NormalCurve.overHalfLine(v -> {
                                    double x = z + v;
                                    double room = NormalCurve.below(x - r * v) - low;
                                    return NormalCurve.density(x) * inner(room, NormalCurve.below(x) - low, between);
                                });
                    });
        }

        /**
         * The ratio that is exceeded with chance alpha when there is no outlier.
         *
         * @param n number of values, {@link #least()} or more
         * @param alpha 0 &lt; alpha &lt; 1
         */
        public double critical(int n, double alpha, Suspect suspect) {
            require(n);
            double share = suspect.share(alpha);
            return NormalCurve.root(r -> above(r, n) - share, 0, 1);
        }

        // Integral over the neighbour, from z to where the ratio is just r, of the density of all that lies between.
        private double inner(double room, double whole, int between) {
            int power = between + 1;
            double one = Math.pow(room, power) / power;
            return gaps == 1 ? one : whole * one - one * room * power / (power + 1);
        }

        // n! / (between)!
        private static double factorialRatio(int n, int between) {
            double product = 1;
            for (int k = between + 1; k <= n; k++) {
                product *= k;
            }
            return product;
        }

        private int require(int n) {
            if (n < least()) {
                throw new IllegalArgumentException("Dixon's " + name().toLowerCase(java.util.Locale.ROOT) + " needs "
                        + least() + " values or more, found " + n);
            }
            return n;
        }
    }
}
