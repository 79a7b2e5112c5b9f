package org.tenmesh.core.statistics;

import java.util.Arrays;

/**
 * Linear least squares for any number of columns, by Householder reflections on the columns as given and a refinement of
 * coefficients and residuals in twice the precision.
 *
 * <p>Formulas: coefficients minimise {@code |y - X b|}; residual SD {@code s = sqrt(SSE / (n - p))}; covariance
 * {@code s^2 (X'X)^-1}, taken from the triangle of the decomposition, never from the normal equations; {@code F} the
 * mean square of regression over {@code s^2}. With a constant column R^2 and F are taken about the mean, without one
 * about zero, as NIST does for its sets NoInt1 and NoInt2 (NIST Statistical Reference Datasets, linear regression).
 *
 * <p>Immutable.
 */
public final class LeastSquares {
    // Two passes settle NIST's sets; a third changes no digit.
    private static final int REFINEMENTS = 2;

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

        Householder decomposition = new Householder(scaled);
        double[] coefficients = new double[p];
        double[] residuals = target.clone();
        decomposition.solve(coefficients, residuals);
        for (int pass = 0; pass < REFINEMENTS; pass++) {
            decomposition.refine(scaled, target, coefficients, residuals);
        }

        double centre = constant ? weightedSum / weightSum : 0;
        double sse = 0;
        double ssr = 0;
        for (int i = 0; i < n; i++) {
            double fitted = y[i] - residuals[i] / Math.sqrt(weights[i]);
            sse += residuals[i] * residuals[i];
            ssr += weights[i] * (fitted - centre) * (fitted - centre);
        }
        return new LeastSquares(coefficients, decomposition.inverseOfNormal(), n, sse, ssr, constant ? p - 1 : p);
    }

    /**
     * Fits {@code y = b[0] + b[1] x + ... + b[degree] x^degree}. The powers are taken about a round number near the middle of
     * x, where they are far less alike, and the answer is brought back to powers of x in twice the precision.
     *
     * @param x n finite values
     * @param y n values
     * @param degree 1 or more
     * @throws IllegalArgumentException if n is not above degree + 1 or x has too few different values
     */
    public static LeastSquares polynomial(double[] x, double[] y, int degree) {
        double low = Arrays.stream(x).min().orElse(0);
        double high = Arrays.stream(x).max().orElse(0);
        // Powers of two and their multiples: neither the shift nor the scale costs a digit.
        double half = Math.scalb(1.0, Math.getExponent(Math.max((high - low) / 2, Double.MIN_NORMAL)));
        double centre = half * Math.rint((low + high) / 2 / half);
        double[][] rows = new double[x.length][degree + 1];
        for (int i = 0; i < x.length; i++) {
            rows[i][0] = 1;
            for (int j = 1; j <= degree; j++) {
                rows[i][j] = rows[i][j - 1] * ((x[i] - centre) / half);
            }
        }
        LeastSquares about = fit(rows, y, true);

        // back[j][k] is what the k-th power about the centre adds to x^j: C(k, j) (-centre)^(k-j) / half^k.
        int p = degree + 1;
        double[][] back = new double[p][p];
        for (int k = 0; k < p; k++) {
            double choose = 1;
            for (int j = k; j >= 0; j--) {
                back[j][k] = choose * Math.pow(-centre, k - j) / Math.pow(half, k);
                choose = choose * j / (k - j + 1);
            }
        }
        double[] coefficients = new double[p];
        double[][] covariance = new double[p][p];
        double[][] halfway = new double[p][p];
        for (int j = 0; j < p; j++) {
            CompensatedSum sum = new CompensatedSum(0);
            for (int k = 0; k < p; k++) {
                sum.addProduct(back[j][k], about.coefficients[k]);
                CompensatedSum row = new CompensatedSum(0);
                for (int l = 0; l < p; l++) {
                    row.addProduct(back[j][l], about.unscaledCovariance[l][k]);
                }
                halfway[j][k] = row.value();
            }
            coefficients[j] = sum.value();
        }
        for (int j = 0; j < p; j++) {
            for (int k = 0; k < p; k++) {
                CompensatedSum sum = new CompensatedSum(0);
                for (int l = 0; l < p; l++) {
                    sum.addProduct(halfway[j][l], back[k][l]);
                }
                covariance[j][k] = sum.value();
            }
        }
        return new LeastSquares(
                coefficients,
                covariance,
                about.n,
                about.residualSumOfSquares,
                about.regressionSumOfSquares,
                about.regressionDegrees);
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

    /** Reflections that turn the columns into a triangle, kept so that they can be applied again. */
    private static final class Householder {
        private final int n;
        private final int p;
        // reflections[j] is the unit vector of reflection j, zero above row j.
        private final double[][] reflections;
        private final double[][] r;

        Householder(double[][] rows) {
            n = rows.length;
            p = rows[0].length;
            reflections = new double[p][n];
            r = new double[p][p];
            double[][] columns = new double[p][n];
            for (int j = 0; j < p; j++) {
                for (int i = 0; i < n; i++) {
                    columns[j][i] = rows[i][j];
                }
            }
            for (int j = 0; j < p; j++) {
                double whole = norm(columns[j], 0);
                for (int k = 0; k < j; k++) {
                    reflect(reflections[k], columns[j], k);
                    r[k][j] = columns[j][k];
                }
                double left = norm(columns[j], j);
                // A column that the others give up to rounding leaves nothing. The bound lies well below NIST's Filip.
                if (!(left > 1e-13 * whole)) {
                    throw new IllegalArgumentException(
                            "column " + j + " depends on the columns before it: no unique fit");
                }
                double[] v = reflections[j];
                System.arraycopy(columns[j], j, v, j, n - j);
                double diagonal = -Math.copySign(left, v[j]);
                v[j] -= diagonal;
                double length = norm(v, j);
                for (int i = j; i < n; i++) {
                    v[i] /= length;
                }
                r[j][j] = diagonal;
            }
        }

        /** Fits the right side in place: coefficients out, residuals left in the right side. */
        void solve(double[] coefficients, double[] rightSide) {
            applyTransposed(rightSide);
            backSubstitute(rightSide, coefficients);
            Arrays.fill(rightSide, 0, p, 0);
            apply(rightSide);
        }

        /**
         * One step of refinement of coefficients and residuals together, with what is left over summed in twice the
         * precision (Björck, Iterative refinement of linear least squares solutions I, BIT 7, 1967; from memory).
         */
        void refine(double[][] rows, double[] target, double[] coefficients, double[] residuals) {
            double[] f = new double[n];
            for (int i = 0; i < n; i++) {
                CompensatedSum sum = new CompensatedSum(target[i]);
                sum.add(-residuals[i]);
                for (int j = 0; j < p; j++) {
                    sum.addProduct(-rows[i][j], coefficients[j]);
                }
                f[i] = sum.value();
            }
            double[] h = new double[p];
            for (int j = 0; j < p; j++) {
                CompensatedSum sum = new CompensatedSum(0);
                for (int i = 0; i < n; i++) {
                    sum.addProduct(-rows[i][j], residuals[i]);
                }
                h[j] = sum.value();
            }
            for (int j = 0; j < p; j++) {
                for (int k = 0; k < j; k++) {
                    h[j] -= r[k][j] * h[k];
                }
                h[j] /= r[j][j];
            }
            applyTransposed(f);
            double[] top = new double[p];
            for (int j = 0; j < p; j++) {
                top[j] = f[j] - h[j];
                f[j] = h[j];
            }
            double[] change = new double[p];
            backSubstitute(top, change);
            apply(f);
            for (int j = 0; j < p; j++) {
                coefficients[j] += change[j];
            }
            for (int i = 0; i < n; i++) {
                residuals[i] += f[i];
            }
        }

        /** The inverse of X'X, by way of the inverse of the triangle. */
        double[][] inverseOfNormal() {
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
            double[][] product = new double[p][p];
            for (int i = 0; i < p; i++) {
                for (int j = 0; j < p; j++) {
                    for (int k = Math.max(i, j); k < p; k++) {
                        product[i][j] += inverse[i][k] * inverse[j][k];
                    }
                }
            }
            return product;
        }

        private void applyTransposed(double[] vector) {
            for (int j = 0; j < p; j++) {
                reflect(reflections[j], vector, j);
            }
        }

        private void apply(double[] vector) {
            for (int j = p - 1; j >= 0; j--) {
                reflect(reflections[j], vector, j);
            }
        }

        private void backSubstitute(double[] rightSide, double[] solution) {
            for (int j = p - 1; j >= 0; j--) {
                double sum = rightSide[j];
                for (int k = j + 1; k < p; k++) {
                    sum -= r[j][k] * solution[k];
                }
                solution[j] = sum / r[j][j];
            }
        }

        private static void reflect(double[] unit, double[] vector, int from) {
            double along = 0;
            for (int i = from; i < vector.length; i++) {
                along += unit[i] * vector[i];
            }
            for (int i = from; i < vector.length; i++) {
                vector[i] -= 2 * along * unit[i];
            }
        }

        private static double norm(double[] vector, int from) {
            double largest = 0;
            for (int i = from; i < vector.length; i++) {
                largest = Math.max(largest, Math.abs(vector[i]));
            }
            if (largest == 0) {
                return 0;
            }
            double squares = 0;
            for (int i = from; i < vector.length; i++) {
                double share = vector[i] / largest;
                squares += share * share;
            }
            return largest * Math.sqrt(squares);
        }
    }
}
