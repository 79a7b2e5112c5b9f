package org.tenmesh.core.statistics;

import java.util.Arrays;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.QRDecomposition;
import org.hipparchus.linear.RealMatrix;

/**
 * Linear least squares for any number of columns, by Householder reflections on the columns as given.
 *
 * <p>Formulas: coefficients minimise {@code |y - X b|}; residual SD {@code s = sqrt(SSE / (n - p))}; covariance
 * {@code s^2 (X'X)^-1}, taken from the triangle of the decomposition, never from the normal equations; {@code F} the
 * mean square of regression over {@code s^2}. With a constant column R^2 and F are taken about the mean, without one
 * about zero, as NIST does for its sets NoInt1 and NoInt2 (NIST Statistical Reference Datasets, linear regression).
 *
 * <p>Immutable.
 */
public final class LeastSquares {
    private final double[] coefficients;
    private final double[][] unscaledCovariance;
    private final int n;
    private final double residualSumOfSquares;
    private final double regressionSumOfSquares;
    private final int regressionDegrees;

    private LeastSquares(
            double[] coefficients,
            double[][] unscaledCovariance,
            int n,
            double residualSumOfSquares,
            double regressionSumOfSquares,
            int regressionDegrees) {
        this.coefficients = coefficients;
        this.unscaledCovariance = unscaledCovariance;
        this.n = n;
        this.residualSumOfSquares = residualSumOfSquares;
        this.regressionSumOfSquares = regressionSumOfSquares;
        this.regressionDegrees = regressionDegrees;
    }

    /**
     * Fits {@code y = sum of b[j] rows[i][j]}, all rows of equal weight.
     *
     * @param rows n rows of p columns each; a constant term needs a column of ones
     * @param y n values
     * @param constant whether one of the columns is a constant term
     * @throws IllegalArgumentException if n is not above p, a row has another length, or the columns depend on one another
     */
    public static LeastSquares fit(double[][] rows, double[] y, boolean constant) {
        double[] weights = new double[y.length];
        Arrays.fill(weights, 1);
        return fit(rows, y, weights, constant);
    }

    /**
     * Fits {@code y = sum of b[j] rows[i][j]}, minimising {@code sum of w[i] (y[i] - fitted[i])^2}.
     *
     * @param rows n rows of p columns each; a constant term needs a column of ones
     * @param y n values
     * @param weights n weights above zero
     * @param constant whether one of the columns is a constant term
     * @throws IllegalArgumentException if n is not above p, a row has another length, a weight is not above zero, or the
     *     columns depend on one another
     */
    public static LeastSquares fit(double[][] rows, double[] y, double[] weights, boolean constant) {
        int n = y.length;
        int p = rows.length == 0 ? 0 : rows[0].length;
        if (rows.length != n || weights.length != n || p == 0 || n <= p) {
            throw new IllegalArgumentException("least squares needs more rows than columns and one value and weight for"
                    + " each row, found " + rows.length + " rows of " + p + " columns, " + n + " values and "
                    + weights.length + " weights");
        }
        double[][] scaled = new double[n][p];
        double[] target = new double[n];
        double weightSum = 0;
        double weightedSum = 0;
        for (int i = 0; i < n; i++) {
            if (rows[i].length != p || !(weights[i] > 0)) {
                throw new IllegalArgumentException("row " + i + " has " + rows[i].length + " columns and weight "
                        + weights[i] + ": expected " + p + " and a weight above zero");
            }
            double root = Math.sqrt(weights[i]);
            for (int j = 0; j < p; j++) {
                scaled[i][j] = root * rows[i][j];
            }
            target[i] = root * y[i];
            weightSum += weights[i];
            weightedSum += weights[i] * y[i];
        }

        RealMatrix design = MatrixUtils.createRealMatrix(scaled);
        QRDecomposition decomposition = new QRDecomposition(design);
        double[][] r = decomposition.getR().getSubMatrix(0, p - 1, 0, p - 1).getData();
        requireIndependent(design, r);
        double[] coefficients = decomposition
                .getSolver()
                .solve(new ArrayRealVector(target, false))
                .toArray();
        double[][] inverse = inverseOfTriangle(r);

        double centre = constant ? weightedSum / weightSum : 0;
        double sse = 0;
        double ssr = 0;
        for (int i = 0; i < n; i++) {
            double fitted = 0;
            for (int j = 0; j < p; j++) {
                fitted += rows[i][j] * coefficients[j];
            }
            sse += weights[i] * (y[i] - fitted) * (y[i] - fitted);
            ssr += weights[i] * (fitted - centre) * (fitted - centre);
        }
        return new LeastSquares(coefficients, timesTransposed(inverse), n, sse, ssr, constant ? p - 1 : p);
    }

    /** Columns of the fit. */
    public int columns() {
        return coefficients.length;
    }

    /** Number of values fitted. */
    public int n() {
        return n;
    }

    /** Degrees of freedom of the residuals, n - p. */
    public int residualDegrees() {
        return n - coefficients.length;
    }

    /** Coefficient of column j, from 0. */
    public double coefficient(int j) {
        return coefficients[j];
    }

    /** Standard error of the coefficient of column j. */
    public double standardError(int j) {
        return Math.sqrt(covariance(j, j));
    }

    /** Covariance of the coefficients of columns j and k. */
    public double covariance(int j, int k) {
        return residualSumOfSquares / residualDegrees() * unscaledCovariance[j][k];
    }

    /** Weighted sum of squares of the residuals. */
    public double residualSumOfSquares() {
        return residualSumOfSquares;
    }

    /** Weighted sum of squares of the fitted values, about the mean when there is a constant term, else about zero. */
    public double regressionSumOfSquares() {
        return regressionSumOfSquares;
    }

    /** Residual standard deviation (of a value of weight 1). */
    public double residualSd() {
        return Math.sqrt(residualSumOfSquares / residualDegrees());
    }

    /** Share of the sum of squares that the fit explains, 0 to 1. */
    public double rSquared() {
        return regressionSumOfSquares / (regressionSumOfSquares + residualSumOfSquares);
    }

    /** F statistic of the regression; infinite for an exact fit. */
    public double fStatistic() {
        return regressionSumOfSquares / regressionDegrees / (residualSumOfSquares / residualDegrees());
    }

    // A column that the others give up to rounding leaves nothing on the diagonal. The bound lies below NIST's Filip,
    // whose eleven powers leave 1e-10 of a column.
    private static void requireIndependent(RealMatrix design, double[][] r) {
        for (int j = 0; j < r.length; j++) {
            if (Math.abs(r[j][j]) <= 1e-13 * design.getColumnVector(j).getNorm()) {
                throw new IllegalArgumentException("column " + j + " depends on the columns before it: no unique fit");
            }
        }
    }

    private static double[][] inverseOfTriangle(double[][] r) {
        int p = r.length;
        double[][] inverse = new double[p][p];
        for (int column = 0; column < p; column++) {
            for (int row = column; row >= 0; row--) {
                double sum = row == column ? 1 : 0;
                for (int k = row + 1; k <= column; k++) {
                    sum -= r[row][k] * inverse[k][column];
                }
                inverse[row][column] = sum / r[row][row];
            }
        }
        return inverse;
    }

    private static double[][] timesTransposed(double[][] upper) {
        int p = upper.length;
        double[][] product = new double[p][p];
        for (int i = 0; i < p; i++) {
            for (int j = 0; j < p; j++) {
                for (int k = Math.max(i, j); k < p; k++) {
                    product[i][j] += upper[i][k] * upper[j][k];
                }
            }
        }
        return product;
    }
}
