package org.tenmesh.core.statistics;

import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.hipparchus.distribution.continuous.FDistribution;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/** Quantiles and tail areas of the distributions the laboratory's limits come from. */
public final class Quantiles {
    private static final NormalDistribution NORMAL = new NormalDistribution(0, 1);
    // The library settles for nine decimals by default; critical values are compared further than that.
    private static final double ACCURACY = 1e-15;

    private Quantiles() {}

    /** The value that a standard normal variable stays below with chance {@code p}, 0 &lt; p &lt; 1. */
    public static double normal(double p) {
        return NORMAL.inverseCumulativeProbability(inside(p));
    }

    /** The chance that a standard normal variable stays below {@code z}. */
    public static double normalBelow(double z) {
        return NORMAL.cumulativeProbability(z);
    }

    /**
     * The value that Student's t stays below with chance {@code p}.
     *
     * @param p 0 &lt; p &lt; 1
     * @param degrees degrees of freedom, above 0
     */
    public static double t(double p, double degrees) {
        return new TDistribution(above0("Student's t", degrees), ACCURACY).inverseCumulativeProbability(inside(p));
    }

    /**
     * The value that Fisher's F stays below with chance {@code p}.
     *
     * @param p 0 &lt; p &lt; 1
     * @param numerator degrees of freedom of the variance above the line, above 0
     * @param denominator degrees of freedom of the one below, above 0
     */
    public static double f(double p, double numerator, double denominator) {
        return new FDistribution(above0("Fisher's F", numerator), above0("Fisher's F", denominator), ACCURACY)
                .inverseCumulativeProbability(inside(p));
    }

    /**
     * The chance that Fisher's F is {@code f} or more.
     *
     * @param f 0 or more
     * @param numerator degrees of freedom of the variance above the line, above 0
     * @param denominator degrees of freedom of the one below, above 0
     */
    public static double fAbove(double f, double numerator, double denominator) {
        above0("Fisher's F", numerator);
        // The upper tail of F is the lower tail of 1/F with its degrees exchanged; so a small chance keeps its digits.
        return f == 0
                ? 1
                : new FDistribution(above0("Fisher's F", denominator), numerator).cumulativeProbability(1 / f);
    }

    /**
     * The value that chi-square stays below with chance {@code p}.
     *
     * @param p 0 &lt; p &lt; 1
     * @param degrees degrees of freedom, above 0
     */
    public static double chiSquare(double p, double degrees) {
        return new ChiSquaredDistribution(above0("chi-square", degrees), ACCURACY)
                .inverseCumulativeProbability(inside(p));
    }

    private static double above0(String which, double degrees) {
        if (!(degrees > 0)) {
            throw new IllegalArgumentException(which + " needs degrees of freedom above 0, found " + degrees);
        }
        return degrees;
    }

    private static double inside(double p) {
        if (!(p > 0 && p < 1)) {
            throw new IllegalArgumentException("a quantile needs a chance between 0 and 1, found " + p);
        }
        return p;
    }
}
