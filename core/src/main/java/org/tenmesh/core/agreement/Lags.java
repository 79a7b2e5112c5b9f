package org.tenmesh.core.agreement;

/** Sums of products of soils so many places apart. */
final class Lags {
    static final int MOST = 25;
    static final int NEAR = 10;
    final double[] products = new double[MOST];
    final double[] counts = new double[MOST];

    void add(int lag, double[] here, double[] there) {
        double sum = 0;
        for (int c = 0; c < here.length; c++) {
            sum += here[c] * there[c];
        }
        products[lag] += sum;
        counts[lag]++;
    }

    void take(Lags other) {
        for (int lag = 0; lag < MOST; lag++) {
            products[lag] += other.products[lag];
            counts[lag] += other.counts[lag];
        }
    }

    double share(int from, double whole) {
        double far = 0;
        double count = 0;
        for (int lag = from; lag < MOST; lag++) {
            far += products[lag];
            count += counts[lag];
        }
        return count < 50 ? 0.3 : Math.max(0.02, Math.min(0.95, far / count / whole));
    }

    double decay(double share, double whole) {
        double best = Double.POSITIVE_INFINITY;
        double decay = 0;
        for (double phi = 0; phi < 0.9999; phi += 0.01) {
            double misfit = 0;
            for (int lag = 1; lag <= NEAR; lag++) {
                if (counts[lag] > 0) {
                    double found = products[lag] / counts[lag] / whole;
                    double model = share + (1 - share) * Math.pow(phi, lag);
                    misfit += counts[lag] * (found - model) * (found - model);
                }
            }
            if (misfit < best) {
                best = misfit;
                decay = phi;
            }
        }
        return decay;
    }
}
