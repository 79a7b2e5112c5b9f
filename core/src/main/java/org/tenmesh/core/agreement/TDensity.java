package org.tenmesh.core.agreement;

import org.hipparchus.special.Gamma;

/** Student's t density in several dimensions, about zero. */
final class TDensity {
    /** Degrees of freedom while relations are learnt: outlying soils get little weight (Lange, Little and Taylor 1989 chose 4 to 5). */
    static final double LEARNING_FREEDOM = 5;

    private TDensity() {}

    /** Weight of an observation in maximum likelihood: less the further out it lies. */
    static double weight(double freedom, double squaredDistance, int p) {
        return (freedom + p) / (freedom + squaredDistance);
    }

    /** Logarithm of the density's constant in {@code p} dimensions. */
    static double logConstant(double freedom, int p) {
        return Gamma.logGamma((freedom + p) / 2) - Gamma.logGamma(freedom / 2) - p / 2.0 * Math.log(freedom * Math.PI);
    }
}
