package org.tenmesh.core.judgement;

import org.hipparchus.special.Gamma;

/**
 * How likely a deviation is when the spread is known only roughly and a wild value must not decide alone: Student's density, common
 * logarithm.
 */
final class StudentT {
    private static final double LOG10_E = 1 / Math.log(10);

    private final double degrees;
    private final double top;

    StudentT(double degrees) {
        this.degrees = degrees;
        top = Gamma.logGamma((degrees + 1) / 2) - Gamma.logGamma(degrees / 2) - Math.log(degrees * Math.PI) / 2;
    }

    /**
     * Logarithm to the base ten of the density.
     *
     * @param off deviation, in the unit of {@code sd}
     * @param sd scale, above 0
     */
    double log10(double off, double sd) {
        double z = off / sd;
        return LOG10_E * (top - Math.log(sd) - (degrees + 1) / 2 * Math.log1p(z * z / degrees));
    }
}
