package org.tenmesh.core.statistics;

import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;

/** Quantiles and tail areas of the two distributions the laboratory's limits come from. */
public final class Quantiles {
    private static final NormalDistribution NORMAL = new NormalDistribution(0, 1);

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
        if (!(degrees > 0)) {
            throw new IllegalArgumentException("Student's t needs degrees of freedom above 0, found " + degrees);
        }
        return new TDistribution(degrees).inverseCumulativeProbability(inside(p));
    }

    private static double inside(double p) {
        if (!(p > 0 && p < 1)) {
            throw new IllegalArgumentException("a quantile needs a chance between 0 and 1, found " + p);
        }
        return p;
    }
}
