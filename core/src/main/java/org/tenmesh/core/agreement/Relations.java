package org.tenmesh.core.agreement;

/**
 * How a method's results follow from those of others, and how what is left is alike along a client's sheet; learnt once, then unchanged.
 *
 * @param own columns of the method in a {@link SoilTable}
 * @param others columns of the other methods
 * @param learntFrom how many soils it was learnt from
 * @param middle of each of the others, in the table's units
 * @param scale of each of the others, a robust standard deviation, same unit
 * @param coefficients for each own column the weight of each feature
 * @param toCoordinates for each coordinate the weight of each own column's residual
 * @param fromCoordinates for each own column the weight of each coordinate
 * @param signal for each coordinate the variance that soils of a client share, the soil's own being 1; empty where nothing was learnt
 * @param constant logarithm of the determinant of {@code toCoordinates}
 * @param clientShare share of the signal that is the client's for good, 0 to 1
 * @param decay how much of the rest is left one place on, within a field, 0 to 1
 * @param across the same from one field to the next
 * @param namesTell whether the clients' names of fields say anything
 * @param outliers where readings of nobody lie
 */
record Relations(
        int[] own,
        int[] others,
        int learntFrom,
        double[] middle,
        double[] scale,
        double[][] coefficients,
        double[][] toCoordinates,
        double[][] fromCoordinates,
        double[] signal,
        double constant,
        double clientShare,
        double decay,
        double across,
        boolean namesTell,
        StrayDensity outliers) {
    boolean isFitted() {
        return signal.length > 0;
    }

    /**
     * What is predicted of the own columns.
     *
     * @param values a whole row of the table
     */
    double[] predicted(double[] values) {
        return Triangular.times(coefficients, features(values, others, middle, scale));
    }

    /** Standard deviations of the own columns from variances of coordinates. */
    double[] sdInColumns(double[] variance) {
        double[] sd = new double[own.length];
        for (int j = 0; j < sd.length; j++) {
            double sum = 0;
            for (int c = 0; c < sd.length; c++) {
                sum += fromCoordinates[j][c] * fromCoordinates[j][c] * variance[c];
            }
            sd[j] = Math.sqrt(sum);
        }
        return sd;
    }

    /** Standardised values of the other columns, their squares, and a one before them. */
    static double[] features(double[] values, int[] others, double[] middle, double[] scale) {
        double[] features = new double[1 + 2 * others.length];
        features[0] = 1;
        for (int j = 0; j < others.length; j++) {
            // A value far out must not bend the curve for all.
            double z = Math.max(-4, Math.min(4, (values[others[j]] - middle[j]) / scale[j]));
            features[1 + j] = z;
            features[1 + others.length + j] = z * z;
        }
        return features;
    }
}
