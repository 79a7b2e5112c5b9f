package org.tenmesh.core.charts;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.tenmesh.core.statistics.Quantiles;

/**
 * Several analytes of one control soil judged together. They are read from one portion: too much soil moves all of them, so they do not
 * vary apart, and limits for each alone see neither how often any of them will signal nor a pattern that no analyte shows by itself.
 */
public final class Together {
    /** Enough for four decimals of a chance; always the same points, so always the same answer. */
    private static final int POINTS = 20_011;

    private static final double WIDEST = 10;
    private static final double LEAST_PIVOT = 1e-10;

    private Together() {}

    /**
     * Correlations of the columns of a table.
     *
     * @param rows two or more complete vectors of equal length, each analyte with some spread
     */
    public static double[][] correlation(double[][] rows) {
        double[][] r = covariance(rows, mean(rows));
        int m = r.length;
        double[] sd = new double[m];
        for (int i = 0; i < m; i++) {
            sd[i] = Math.sqrt(r[i][i]);
        }
        for (int i = 0; i < m; i++) {
            for (int j = 0; j < m; j++) {
                r[i][j] = i == j ? 1 : r[i][j] / sd[i] / sd[j];
            }
        }
        return r;
    }

    /**
     * The chance that at least one of several standard normal values lies outside plus and minus {@code limit}: separation of variables
     * over a lattice of square roots of primes (Genz 1992, J. Comput. Graph. Stat. 1:141; from memory).
     *
     * @param correlation of the values
     */
    public static double chanceOfAny(double limit, double[][] correlation) {
        int m = correlation.length;
        double[][] c = cholesky(correlation);
        double[] step = new double[m];
        int prime = 1;
        for (int i = 0; i < m; i++) {
            prime = nextPrime(prime);
            step[i] = Math.sqrt(prime);
        }
        double inside = 0;
        double[] y = new double[m];
        for (int k = 1; k <= POINTS; k++) {
            double chance = 1;
            for (int i = 0; i < m && chance > 0; i++) {
                double sum = 0;
                for (int j = 0; j < i; j++) {
                    sum += c[i][j] * y[j];
                }
                double from = Quantiles.normalBelow((-limit - sum) / c[i][i]);
                double to = Quantiles.normalBelow((limit - sum) / c[i][i]);
                chance *= to - from;
                if (i < m - 1 && chance > 0) {
                    double fraction = k * step[i];
                    // Folded at the middle, the integrand has no jump at its ends and the lattice does its best.
                    double u = Math.abs(2 * (fraction - Math.floor(fraction)) - 1);
                    double p = from + u * (to - from);
                    y[i] = Quantiles.normal(Math.min(1 - 1e-16, Math.max(1e-300, p)));
                }
            }
            inside += chance;
        }
        return 1 - inside / POINTS;
    }

    /**
     * The limit in standard deviations that at least one of several correlated values exceeds with a given chance. Without correlation it is
     * that of Sidak; the closer the values follow each other, the narrower it may be.
     */
    public static double limitFor(double chance, double[][] correlation) {
        double low = 0;
        double high = WIDEST;
        while (high - low > 1e-4) {
            double middle = (low + high) / 2;
            if (chanceOfAny(middle, correlation) > chance) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return high;
    }

    /**
     * The joint residual of a control soil against history: Hotelling's {@code T^2 = (x - m)' S^-1 (x - m)}, m and S mean and covariance of
     * {@code n} earlier vectors. With no fault {@code T^2 n (n - p) / (p (n + 1)(n - 1))} follows Fisher's F of p and n - p degrees, exactly
     * (NIST/SEMATECH e-Handbook of Statistical Methods, 6.5.4.3.4, individual observations, phase II; read).
     *
     * @param mean of each of the p analytes
     * @param covariance p by p
     * @param n vectors behind them, more than p
     */
    public record Residual(double[] mean, double[][] covariance, int n) {
        public Residual {
            mean = mean.clone();
            covariance = copy(covariance);
            if (n <= mean.length) {
                throw new IllegalArgumentException("a joint residual of " + mean.length
                        + " analytes needs more vectors than analytes, found " + n);
            }
        }

        /** From complete vectors of earlier days. */
        public static Residual of(double[][] rows) {
            double[] mean = Together.mean(rows);
            return new Residual(mean, Together.covariance(rows, mean), rows.length);
        }

        @Override
        public double[] mean() {
            return mean.clone();
        }

        @Override
        public double[][] covariance() {
            return copy(covariance);
        }

        /** T² of a new vector. */
        public double tSquared(double[] x) {
            double[][] c = cholesky(covariance);
            double sum = 0;
            double[] solved = new double[x.length];
            for (int i = 0; i < x.length; i++) {
                double rest = x[i] - mean[i];
                for (int j = 0; j < i; j++) {
                    rest -= c[i][j] * solved[j];
                }
                solved[i] = rest / c[i][i];
                sum += solved[i] * solved[i];
            }
            return sum;
        }

        /** The chance of a T² this large or larger without a fault. */
        public double chance(double tSquared) {
            int p = mean.length;
            return Quantiles.fAbove(tSquared * n * (n - p) / (p * (n + 1.0) * (n - 1.0)), p, n - p);
        }

        /** The T² that is exceeded with a given chance when nothing is wrong. */
        public double limit(double chance) {
            int p = mean.length;
            return p * (n + 1.0) * (n - 1.0) / ((double) n * (n - p)) * Quantiles.f(1 - chance, p, n - p);
        }
    }

    /**
     * Columns that say something of their own, first ones first: one that follows from those before it but for a share of its variance is
     * left out, as organic matter calculated from loss on ignition.
     *
     * @param leastShare of a column's variance that the columns before it must leave unexplained, above 0
     */
    public static List<Integer> independent(double[][] rows, double leastShare) {
        double[][] s = covariance(rows, mean(rows));
        List<Integer> kept = new ArrayList<>();
        List<double[]> factors = new ArrayList<>();
        for (int i = 0; i < s.length; i++) {
            double[] factor = new double[kept.size() + 1];
            double rest = s[i][i];
            for (int k = 0; k < kept.size(); k++) {
                double sum = s[i][kept.get(k)];
                for (int j = 0; j < k; j++) {
                    sum -= factor[j] * factors.get(k)[j];
                }
                factor[k] = sum / factors.get(k)[k];
                rest -= factor[k] * factor[k];
            }
            if (s[i][i] > 0 && rest > leastShare * s[i][i]) {
                factor[kept.size()] = Math.sqrt(rest);
                factors.add(factor);
                kept.add(i);
            }
        }
        return kept;
    }

    private static double[] mean(double[][] rows) {
        double[] mean = new double[rows[0].length];
        for (double[] row : rows) {
            for (int i = 0; i < mean.length; i++) {
                mean[i] += row[i] / rows.length;
            }
        }
        return mean;
    }

    private static double[][] covariance(double[][] rows, double[] mean) {
        int m = mean.length;
        double[][] s = new double[m][m];
        for (double[] row : rows) {
            for (int i = 0; i < m; i++) {
                for (int j = 0; j < m; j++) {
                    s[i][j] += (row[i] - mean[i]) * (row[j] - mean[j]) / (rows.length - 1);
                }
            }
        }
        return s;
    }

    /** Lower triangle; what follows from the analytes before it keeps a trace of its own variance. */
    private static double[][] cholesky(double[][] a) {
        int m = a.length;
        double[][] c = new double[m][m];
        for (int i = 0; i < m; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = a[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= c[i][k] * c[j][k];
                }
                c[i][j] = i == j ? Math.sqrt(Math.max(sum, LEAST_PIVOT * a[i][i])) : sum / c[j][j];
            }
        }
        return c;
    }

    private static int nextPrime(int after) {
        int candidate = after + 1;
        while (true) {
            boolean prime = true;
            for (int d = 2; d * d <= candidate; d++) {
                prime &= candidate % d != 0;
            }
            if (prime) {
                return candidate;
            }
            candidate++;
        }
    }

    private static double[][] copy(double[][] table) {
        return Arrays.stream(table).map(double[]::clone).toArray(double[][]::new);
    }
}
