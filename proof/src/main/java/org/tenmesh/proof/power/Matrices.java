package org.tenmesh.proof.power;

/** As much of matrices as {@link Limit} needs; by rows, small. */
final class Matrices {
    private static final int SWEEPS = 60;
    private static final double NOTHING = 1e-22;

    private Matrices() {}

    /** Eigenvalues, and their vectors in columns. */
    record Eigen(double[] values, double[][] vectors) {}

    /**
     * Lower triangular L with L Lᵀ equal to the matrix (Cholesky).
     *
     * @throws IllegalArgumentException when it is not positive definite
     */
    static double[][] root(double[][] of) {
        int n = of.length;
        double[][] root = new double[n][n];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = of[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= root[i][k] * root[j][k];
                }
                if (i == j && !(sum > 0)) {
                    throw new IllegalArgumentException("row " + i + " makes the matrix indefinite");
                }
                root[i][j] = i == j ? Math.sqrt(sum) : sum / root[j][j];
            }
        }
        return root;
    }

    static double[][] inverseOfLower(double[][] lower) {
        int n = lower.length;
        double[][] inverse = new double[n][n];
        for (int j = 0; j < n; j++) {
            inverse[j][j] = 1 / lower[j][j];
            for (int i = j + 1; i < n; i++) {
                double sum = 0;
                for (int k = j; k < i; k++) {
                    sum += lower[i][k] * inverse[k][j];
                }
                inverse[i][j] = -sum / lower[i][i];
            }
        }
        return inverse;
    }

    static double[][] times(double[][] a, double[][] b) {
        double[][] product = new double[a.length][b[0].length];
        for (int i = 0; i < a.length; i++) {
            for (int k = 0; k < b.length; k++) {
                for (int j = 0; j < b[0].length; j++) {
                    product[i][j] += a[i][k] * b[k][j];
                }
            }
        }
        return product;
    }

    static double[][] turned(double[][] a) {
        double[][] turned = new double[a[0].length][a.length];
        for (int i = 0; i < a.length; i++) {
            for (int j = 0; j < a[0].length; j++) {
                turned[j][i] = a[i][j];
            }
        }
        return turned;
    }

    /** Of a symmetric matrix, by Jacobi's rotations (Golub and Van Loan, Matrix Computations, section 8.5, from memory). */
    static Eigen eigen(double[][] symmetric) {
        int n = symmetric.length;
        double[][] a = new double[n][];
        double[][] v = new double[n][n];
        for (int i = 0; i < n; i++) {
            a[i] = symmetric[i].clone();
            v[i][i] = 1;
        }
        for (int sweep = 0; sweep < SWEEPS; sweep++) {
            double off = 0;
            double whole = 0;
            for (int i = 0; i < n; i++) {
                for (int j = 0; j < n; j++) {
                    whole += a[i][j] * a[i][j];
                    off += i == j ? 0 : a[i][j] * a[i][j];
                }
            }
            if (off <= NOTHING * whole) {
                break;
            }
            for (int p = 0; p < n; p++) {
                for (int q = p + 1; q < n; q++) {
                    rotate(a, v, p, q);
                }
            }
        }
        double[] values = new double[n];
        for (int i = 0; i < n; i++) {
            values[i] = a[i][i];
        }
        return new Eigen(values, v);
    }

    private static void rotate(double[][] a, double[][] v, int p, int q) {
        if (a[p][q] == 0) {
            return;
        }
        double theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
        double t = Math.copySign(1, theta) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
        double c = 1 / Math.sqrt(t * t + 1);
        double s = t * c;
        for (int k = 0; k < a.length; k++) {
            double kp = a[k][p];
            double kq = a[k][q];
            a[k][p] = c * kp - s * kq;
            a[k][q] = s * kp + c * kq;
        }
        for (int k = 0; k < a.length; k++) {
            double pk = a[p][k];
            double qk = a[q][k];
            a[p][k] = c * pk - s * qk;
            a[q][k] = s * pk + c * qk;
            double kp = v[k][p];
            double kq = v[k][q];
            v[k][p] = c * kp - s * kq;
            v[k][q] = s * kp + c * kq;
        }
    }
}
