package org.tenmesh.core.agreement;

import org.jspecify.annotations.Nullable;

/**
 * What the materials of control soils are known to give.
 *
 * @param mean for each row, in the order of the method's columns; null where the row is no control soil
 * @param sd standard deviations of the same
 */
public record KnownControls(
        @Nullable double[][] mean, @Nullable double[][] sd) {
    /** Natural logarithm of the density of a control soil so many standard deviations off, up to a constant. */
    public static double tOfKnown(double z, double freedom) {
        return -(freedom + 1) / 2 * Math.log1p(z * z / freedom);
    }

    /**
     * Natural logarithm of the density of a reading under a control soil; 0 where its material is not known for every column.
     *
     * @param read the row of the table with the reading
     * @param own the method's columns in it
     */
    static double logDensity(double[] read, int[] own, double[] mean, double[] sd, double freedom) {
        double distance = 0;
        double logScale = 0;
        for (int c = 0; c < own.length; c++) {
            double z = (read[own[c]] - mean[c]) / sd[c];
            if (!Double.isFinite(z)) {
                return 0;
            }
            distance += z * z;
            logScale -= Math.log(sd[c]);
        }
        return TDensity.logConstant(freedom, own.length)
                + logScale
                - (freedom + own.length) / 2 * Math.log1p(distance / freedom);
    }
}
