package org.tenmesh.core.agreement;

/**
 * Small symmetric matrices by the lower triangle of their Cholesky factor. The library's own decompositions give other last digits, refuse
 * a matrix that is singular but for rounding, and allocate for every soil: a kernel of thirty lines is kept for these inner loops.
 */
final class Triangular {
    private Triangular() {}

    // Lower triangle of the inverse of the Cholesky factor.
    static double[][] inverseRoot(double[][] covariance) {
        int p = covariance.length;
        double[][] l = new double[p][p];
        for (int i = 0; i < p; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = covariance[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= l[i][k] * l[j][k];
                }
                l[i][j] =
                        i == j ? Math.sqrt(Math.max(sum, 1e-10 * Math.abs(covariance[i][i]) + 1e-300)) : sum / l[j][j];
            }
        }
        return inverseOfLower(l);
    }

    static double[][] inverseOfLower(double[][] l) {
        int p = l.length;
        double[][] inverse = new double[p][p];
        for (int i = 0; i < p; i++) {
            inverse[i][i] = 1 / l[i][i];
            for (int j = 0; j < i; j++) {
                double sum = 0;
                for (int k = j; k < i; k++) {
                    sum += l[i][k] * inverse[k][j];
                }
                inverse[i][j] = -sum / l[i][i];
            }
        }
        return inverse;
    }

    static double squaredDistance(double[][] inverseRoot, double[] r) {
        double sum = 0;
        for (int i = 0; i < r.length; i++) {
            double z = 0;
            double[] row = inverseRoot[i];
            for (int j = 0; j <= i; j++) {
                z += row[j] * r[j];
            }
            sum += z * z;
        }
        return sum;
    }

    static double[] times(double[][] matrix, double[] vector) {
        double[] product = new double[matrix.length];
        for (int a = 0; a < product.length; a++) {
            double sum = 0;
            double[] row = matrix[a];
            for (int b = 0; b < vector.length; b++) {
                sum += row[b] * vector[b];
            }
            product[a] = sum;
        }
        return product;
    }
}
