package org.tenmesh.core.agreement;

import org.jspecify.annotations.Nullable;

/**
 * The difference of every soil from what all others predict: a Kalman filter from each side (Fraser and Potter 1969, IEEE Trans.
 * Automatic Control 14:387).
 */
public final class Smoother {
    private final Agreement its;

    private Smoother(Agreement its) {
        this.its = its;
    }

    /** The difference of every soil from what all others predict, one for each row; null where nothing can be said. */
    public static @Nullable Difference[] differences(Agreement agreement) {
        return new Smoother(agreement).differences();
    }

    private @Nullable Difference[] differences() {
        int n = its.soils.soils();
        @Nullable Difference[] all = new Difference[n];
        for (int start = 0; start < n; start = its.soils.sequenceEnd[start] + 1) {
            if (its.soils.client(start) >= 0 && its.isFitted()) {
                bothSides(start, its.soils.sequenceEnd[start], all);
            }
        }
        return all;
    }

    private void bothSides(int start, int end, @Nullable Difference[] all) {
        int n = end - start + 1;
        double[][] u = new double[n][];
        for (int i = 0; i < n; i++) {
            int row = start + i;
            boolean seen = its.soils.predicted[row] != null
                    && its.soils.readable[row]
                    && its.soils.knownMean[row] == null
                    && !its.soils.nothing[row];
            u[i] = seen ? its.soils.offset(row, row) : new double[0];
            if (seen) {
                all[row] = new Difference(new double[its.p], new double[its.p], its.freedom);
            }
        }
        for (int c = 0; c < its.p; c++) {
            double[][] before = oneSide(u, start, c, 1);
            double[][] after = oneSide(u, start, c, -1);
            double prior = 1 / (its.clientShare * its.signal[c]);
            double priorField = 1 / ((1 - its.clientShare) * its.signal[c]);
            for (int i = 0; i < n; i++) {
                double[] seen = u[i];
                Difference known = all[start + i];
                if (seen.length == 0 || known == null) {
                    continue;
                }
                double[] f = before[i];
                double[] b = after[i];
                // Information of both sides; the prior is in both and is taken off once.
                double j11 = f[2] + b[2] - prior;
                double j12 = f[3] + b[3];
                double j22 = f[4] + b[4] - priorField;
                double h1 = f[0] + b[0];
                double h2 = f[1] + b[1];
                double determinant = j11 * j22 - j12 * j12;
                double v11 = j22 / determinant;
                double v12 = -j12 / determinant;
                double v22 = j11 / determinant;
                known.difference()[c] = seen[c] - (v11 * h1 + v12 * h2 + v12 * h1 + v22 * h2);
                known.variance()[c] =
                        its.spread * its.widening[start] * (v11 + 2 * v12 + v22 + its.soils.ownWidth[start + i]);
            }
        }
    }

    // For each place the information vector and matrix (h1, h2, j11, j12, j22) about its state from the places on one
    // side of it.
    private double[][] oneSide(double[][] u, int start, int c, int step) {
        int n = u.length;
        double[][] information = new double[n][];
        double[] state = new double[FieldFilter.SIZE];
        FieldFilter.start(state, 0, its.clientShare, its.signal[c]);
        int last = step > 0 ? start : start + n - 1;
        for (int k = 0; k < n; k++) {
            int i = step > 0 ? k : n - 1 - k;
            if (k > 0 && its.soils.client(start + i) >= 0) {
                FieldFilter.fade(state, 0, its.soils.fade(start + i, last), its.clientShare, its.signal[c]);
            }
            if (its.soils.client(start + i) >= 0) {
                last = start + i;
            }
            double client = state[FieldFilter.CLIENT];
            double field = state[FieldFilter.FIELD];
            double vClient = state[FieldFilter.CLIENT_VARIANCE];
            double vField = state[FieldFilter.FIELD_VARIANCE];
            double vBoth = state[FieldFilter.COVARIANCE];
            double determinant = vClient * vField - vBoth * vBoth;
            double j11 = vField / determinant;
            double j12 = -vBoth / determinant;
            double j22 = vClient / determinant;
            information[i] = new double[] {j11 * client + j12 * field, j12 * client + j22 * field, j11, j12, j22};
            double[] seen = u[i];
            if (seen.length == 0) {
                continue;
            }
            double innovation = seen[c] - client - field;
            double own = its.soils.ownWidth[start + i];
            double variance = vClient + 2 * vBoth + vField + own;
            double trust = Math.min(
                    1,
                    TDensity.weight(
                            its.freedom, innovation * innovation / variance / (its.spread * its.widening[start]), 1));
            double total = variance - own + own / trust;
            FieldFilter.learn(state, 0, innovation, total);
        }
        return information;
    }
}
