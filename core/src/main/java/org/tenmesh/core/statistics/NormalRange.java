package org.tenmesh.core.statistics;

/**
 * The range, largest less smallest, of n values drawn from a normal distribution of standard deviation 1.
 *
 * <p>Formulas, with density {@code phi} and area {@code Phi} of the standard normal distribution:
 * {@code P(R <= r) = n integral phi(x) [Phi(x + r) - Phi(x)]^(n-1) dx}; {@code d2 = E(R) = integral 1 - Phi^n - (1 - Phi)^n dx};
 * {@code d3^2 = 2 integral r P(R > r) dr - d2^2} (Tippett, Biometrika 17:364, 1925; from memory). Integrated to twelve digits or
 * more.
 */
public final class NormalRange {
    private static final double LONGEST = 20;

    private NormalRange() {}

    /**
     * The chance that the range stays at or below r.
     *
     * @param r in standard deviations, 0 or more
     * @param n number of values, 2 or more
     */
    public static double below(double r, int n) {
        require(n);
        return n
                * NormalCurve.overLine(
                        x -> NormalCurve.density(x) * Math.pow(NormalCurve.below(x + r) - NormalCurve.below(x), n - 1));
    }

    /**
     * The range that is not exceeded with chance p, in standard deviations. For p = 0.95 this is the factor f(n) of the critical
     * range, 2.8, 3.3, 3.6, 3.9, 4.0 for n = 2 to 6 (ISO 5725-6:1994, section 5; from memory).
     *
     * @param p 0 &lt; p &lt; 1
     * @param n number of values, 2 or more
     */
    public static double quantile(double p, int n) {
        if (!(p > 0 && p < 1)) {
            throw new IllegalArgumentException("a quantile needs a chance between 0 and 1, found " + p);
        }
        require(n);
        return NormalCurve.root(r -> below(r, n) - p, 0, LONGEST);
    }

    /** Mean of the range of n values in standard deviations: d2. */
    public static double mean(int n) {
        require(n);
        return NormalCurve.overLine(x -> {
            double below = NormalCurve.below(x);
            return 1 - Math.pow(below, n) - Math.pow(1 - below, n);
        });
    }

    /** Standard deviation of the range of n values, in standard deviations: d3. */
    public static double sd(int n) {
        double mean = mean(n);
        return Math.sqrt(2 * NormalCurve.overHalfLine(r -> r * (1 - below(r, n))) - mean * mean);
    }

    private static void require(int n) {
        if (n < 2) {
            throw new IllegalArgumentException("a range needs two values or more, found " + n);
        }
    }
}
