package org.tenmesh.core.statistics;

/**
 * How likely a deviation is when the spread is known only roughly and a wild value must not decide alone: Student's density, common
 * logarithm, up to a constant that explanations of the same readings share.
 */
public final class StudentT {
    private static final double LOG10_E = 1 / Math.log(10);

    private final double degrees;

    /** @param degrees of freedom, above 0 */
    public StudentT(double degrees) {
        this.degrees = degrees;
    }

    /**
     * Logarithm to the base ten of the density, less a constant that goes with the degrees of freedom alone.
     *
     * @param off deviation, in the unit of {@code sd}
     * @param sd scale, above 0
     */
    public double log10(double off, double sd) {
        double z = off / sd;
        return LOG10_E * (-Math.log(sd) - (degrees + 1) / 2 * Math.log1p(z * z / degrees));
    }
}
