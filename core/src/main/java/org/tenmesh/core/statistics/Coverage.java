package org.tenmesh.core.statistics;

/**
 * The coverage factor that an expanded uncertainty of so many degrees of freedom needs, so that it holds the value as often as two
 * standard deviations of a normal distribution do: 95.45 % (JCGM 100:2008, GUM, annex G: factor from Student's t, table G.2; effective degrees of
 * freedom by the Welch-Satterthwaite formula G.2b, truncated to the next lower integer as in G.4.1).
 */
public final class Coverage {
    /** The factor of a standard uncertainty that is known exactly. */
    public static final double OF_NORMAL = 2;

    private static final double BELOW = Quantiles.normalBelow(OF_NORMAL);
    /** From here on the first terms of the expansion in 1/degrees are good to seven decimals. */
    private static final int TABLE = 100;

    private static final double[] FACTORS = factors();

    private Coverage() {}

    private static double[] factors() {
        double[] factors = new double[TABLE + 1];
        for (int degrees = 1; degrees <= TABLE; degrees++) {
            factors[degrees] = Quantiles.t(BELOW, degrees);
        }
        return factors;
    }

    /**
     * The factor.
     *
     * @param degrees of freedom, 1 or more; infinite where the standard uncertainty is known; less than 1 counts as 1
     */
    public static double factor(double degrees) {
        double whole = Math.floor(Math.max(1, degrees));
        if (whole <= TABLE) {
            return FACTORS[(int) whole];
        }
        // Student's t in powers of 1/degrees (Abramowitz and Stegun 1964, 26.7.5).
        double z = OF_NORMAL;
        double first = z * (z * z + 1) / 4;
        double second = z * (5 * Math.pow(z, 4) + 16 * z * z + 3) / 96;
        double third = z * (3 * Math.pow(z, 6) + 19 * Math.pow(z, 4) + 17 * z * z - 15) / 384;
        return z + (first + (second + third / whole) / whole) / whole;
    }

    /**
     * Effective degrees of freedom of the root of a sum of squares: {@code u^4 / sum(u_i^4 / nu_i)}, with {@code u^2 = sum u_i^2}.
     *
     * @param u independent standard uncertainties in one unit, 0 or more
     * @param degrees of each, above 0, infinite where it is known
     * @return infinite when no part has finite degrees
     */
    public static double effectiveDegrees(double[] u, double[] degrees) {
        double squares = 0;
        double fourths = 0;
        for (int i = 0; i < u.length; i++) {
            squares += u[i] * u[i];
            fourths += Math.pow(u[i], 4) / degrees[i];
        }
        return fourths == 0 ? Double.POSITIVE_INFINITY : squares * squares / fourths;
    }
}
