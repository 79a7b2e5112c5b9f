package org.tenmesh.core.agreement;

import java.util.Arrays;

/**
 * How a method's results follow from those of others, and how what is left is alike along a client's sheet; learnt once, then unchanged.
 *
 * @param own columns of the method in a {@link SoilTable}
 * @param others columns of the other methods
 * @param learntFrom how many soils it was learnt from
 * @param middle of each of the others, in the table's units
 * @param scale of each of the others, a robust standard deviation, same unit
 * @param unlikeness inverse root of the robust scatter of the others, on those scales
 * @param freedom degrees of freedom of the t density that they follow
 * @param coefficients for each own column the weight of each feature
 * @param toCoordinates for each coordinate the weight of each own column's residual
 * @param fromCoordinates for each own column the weight of each coordinate
 * @param signal for each coordinate the variance that soils of a client share, the soil's own being 1; empty where nothing was learnt
 * @param groups how many independent clients and fields the signal was learnt from
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
        double[][] unlikeness,
        double freedom,
        double[][] coefficients,
        double[][] toCoordinates,
        double[][] fromCoordinates,
        double[] signal,
        double groups,
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
     * The same for soils of other clients. Between so many columns the covariance of few clients is known badly: the directions in which
     * these happened to differ least look as if nobody differed there. With an inverse Wishart density beforehand, which counts as the fewest
     * clients that give it a mean, each variance is drawn towards the middle one: {@code (k m + g s) / (k + g)} with {@code k = p + 2} (Gelman et
     * al. 2013, Bayesian Data Analysis, 3rd edition, section 3.6, from memory; shrunk towards one multiple of the identity as Ledoit and Wolf
     * 2004, J. Multivariate Anal. 88:365).
     */
    Relations forOthers() {
        double middleSignal = Arrays.stream(signal).average().orElse(0);
        double known = own.length + 2;
        double[] drawn = Arrays.stream(signal)
                .map(each -> (known * middleSignal + groups * each) / (known + groups))
                .toArray();
        return new Relations(
                own,
                others,
                learntFrom,
                middle,
                scale,
                unlikeness,
                freedom,
                coefficients,
                toCoordinates,
                fromCoordinates,
                drawn,
                groups,
                constant,
                clientShare,
                decay,
                across,
                namesTell,
                outliers);
    }

    /** Degrees of freedom of a reading of {@link #forOthers}: {@code k + g - p + 1} of the density there (Gelman et al. 2013, section 3.6). */
    double freedomForOthers() {
        return groups + 3;
    }

    /**
     * What is predicted of the own columns.
     *
     * @param values a whole row of the table
     */
    double[] predicted(double[] values) {
        return Triangular.times(coefficients, features(values, others, middle, scale));
    }

    /**
     * How many times wider a soil's own part scatters about what is predicted of it than that of a soil in the midst of the others: when
     * all columns together follow a t density, what is left of some has a scale of {@code (freedom + d²) / (freedom + q)} where the other {@code q}
     * lie at a squared distance {@code d²} from their middle (Kotz and Nadarajah 2004, Multivariate t Distributions and Their Applications, section
     * 1.11; from memory). A soil that is of another kind by all its other results is none that the relations were learnt from. 1 or more.
     *
     * @param values a whole row of the table
     */
    double ownWidth(double[] values) {
        int q = others.length;
        double[] off = new double[q];
        for (int j = 0; j < q; j++) {
            off[j] = (values[others[j]] - middle[j]) / scale[j];
        }
        return Math.max(1, (freedom + Triangular.squaredDistance(unlikeness, off)) / (freedom + q));
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
