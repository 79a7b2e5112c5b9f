package org.tenmesh.core.agreement;

/**
 * What was read of one soil against its forecast from every other soil and its own results by other methods, in coordinates in
 * which the differences are uncorrelated.
 *
 * @param difference read minus forecast, one for each coordinate
 * @param variance of each, the soil's own part included
 * @param freedom degrees of freedom of the t density the differences follow
 */
public record Difference(double[] difference, double[] variance, double freedom) {
    /** Sum of squares of the differences over their variances. */
    public double squaredDistance() {
        double whole = 0;
        for (int c = 0; c < difference.length; c++) {
            whole += difference[c] * difference[c] / variance[c];
        }
        return whole;
    }

    /**
     * The multiple of a direction that explains the difference best, by generalised least squares.
     *
     * @param direction in the same coordinates, see {@link Agreement#inCoordinates}
     */
    public Along along(double[] direction) {
        double cross = 0;
        double square = 0;
        for (int c = 0; c < difference.length; c++) {
            cross += direction[c] * difference[c] / variance[c];
            square += direction[c] * direction[c] / variance[c];
        }
        double whole = squaredDistance();
        double explained = cross * cross / square;
        double rest = Math.max(0, whole - explained);
        double p = difference.length;
        double ratio = (freedom + p) / 2 * Math.log((freedom + whole) / (freedom + rest));
        return new Along(cross / square, 1 / Math.sqrt(square), ratio, rest);
    }

    /**
     * How far a difference goes along a direction.
     *
     * @param multiple of the direction
     * @param sd of that multiple
     * @param logRatio likelihood of the best multiple over that of 0, natural logarithm
     * @param rest squared distance that is left
     */
    public record Along(double multiple, double sd, double logRatio, double rest) {}
}
