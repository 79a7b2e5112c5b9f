package org.tenmesh.core.agreement;

import java.util.Optional;
import org.hipparchus.special.Gamma;

/** Student's t density in several dimensions, about zero. */
final class TDensity {
    private static final double[] FREEDOMS = {3, 4, 6, 9, 15, 30, 100};

    private TDensity() {}

    /**
     * The width and the degrees of freedom under which some observations are likeliest.
     *
     * @param freedom one of 3 to 100
     * @param scale what their squared distances are divided by
     */
    record Width(double freedom, double scale) {}

    /** The likeliest width of observations in {@code p} dimensions with these squared distances; empty when no number comes out. */
    static Optional<Width> likeliest(double[] squaredDistances, int p) {
        int count = squaredDistances.length;
        double best = Double.NEGATIVE_INFINITY;
        Optional<Width> likeliest = Optional.empty();
        for (double nu : FREEDOMS) {
            double scale = 1;
            for (int round = 0; round < 25; round++) {
                double sum = 0;
                for (double one : squaredDistances) {
                    sum += weight(nu, one / scale, p) * one;
                }
                double next = Math.max(1e-6, sum / (count * (double) p));
                boolean still = Math.abs(next / scale - 1) < 1e-4;
                scale = next;
                if (still) {
                    break;
                }
            }
            double fit = count * (logConstant(nu, p) - p / 2.0 * Math.log(scale));
            for (double one : squaredDistances) {
                fit -= (nu + p) / 2 * Math.log1p(one / scale / nu);
            }
            if (fit > best) {
                best = fit;
                likeliest = Optional.of(new Width(nu, scale));
            }
        }
        return likeliest;
    }

    /** Weight of an observation in maximum likelihood: less the further out it lies. */
    static double weight(double freedom, double squaredDistance, int p) {
        return (freedom + p) / (freedom + squaredDistance);
    }

    /** Logarithm of the density's constant in {@code p} dimensions. */
    static double logConstant(double freedom, int p) {
        return Gamma.logGamma((freedom + p) / 2) - Gamma.logGamma(freedom / 2) - p / 2.0 * Math.log(freedom * Math.PI);
    }
}
