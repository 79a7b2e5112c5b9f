package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Effects of groups of soils in coordinates, with what {@link #contrast} needs to state them in columns.
 *
 * @param size for each coordinate the effect of each group, in the coordinate's unit
 * @param covariance for each coordinate the covariance of two groups' effects, in its unit squared
 * @param toColumns for each of the method's columns the weight of each coordinate
 */
public record GroupEffects(double[][] size, double[][][] covariance, double[][] toColumns) {
    /**
     * How far groups of soils lie apart, beyond what their clients, fields and other results make of them: generalised least squares
     * over the same filter (Harvey 1989, section 3.4: a regression whose errors a filter makes independent).
     *
     * @param groupOf for each row its group, 0 and up; negative = none
     * @param groups how many groups
     */
    public static GroupEffects of(Agreement its, int[] groupOf, int groups) {
        double[][] off = new double[groupOf.length][];
        for (int i = 0; its.isFitted() && i < off.length; i++) {
            if (its.soils.predicted[i] != null
                    && its.soils.readable[i]
                    && !its.soils.nothing[i]
                    && its.soils.knownMean[i] == null
                    && groupOf[i] >= 0) {
                off[i] = its.soils.offset(i, i);
            }
        }
        double[][][] covariance = new double[its.p][][];
        double[][] size = new double[its.p][];
        IntStream.range(0, its.isFitted() ? its.p : 0).parallel().forEach(c -> {
            double[][] normal = new double[groups][groups];
            double[] right = new double[groups];
            equations(its, c, groupOf, off, normal, right);
            double[][] root = Triangular.inverseRoot(normal);
            covariance[c] = new double[groups][groups];
            for (int g = 0; g < groups; g++) {
                for (int h = 0; h < groups; h++) {
                    for (int k = Math.max(g, h); k < groups; k++) {
                        covariance[c][g][h] += root[k][g] * root[k][h];
                    }
                }
            }
            size[c] = Triangular.times(covariance[c], right);
        });
        return new GroupEffects(size, covariance, its.soils.relations.fromCoordinates());
    }

    // The normal equations of the groups' effects in one coordinate.
    private static void equations(
            Agreement its, int c, int[] groupOf, @Nullable double[][] off, double[][] normal, double[] right) {
        int groups = right.length;
        double[] field = new double[groups + 1];
        double[] client = new double[groups + 1];
        double[] row = new double[groups + 1];
        double[] variances = new double[FieldFilter.SIZE];
        int last = -1;
        for (int i = 0; i < groupOf.length; i++) {
            if (i == its.soils.sequenceStart[i]) {
                Arrays.fill(client, 0);
                Arrays.fill(field, 0);
                FieldFilter.start(variances, 0, its.clientShare, its.signal[c]);
                last = -1;
            }
            double[] seen = off[i];
            if (seen == null) {
                continue;
            }
            if (last >= 0) {
                double fade = its.soils.fade(i, last);
                for (int g = 0; g <= groups; g++) {
                    field[g] *= fade;
                }
                FieldFilter.fade(variances, 0, fade, its.clientShare, its.signal[c]);
            }
            last = i;
            double toClient = FieldFilter.toClient(variances, 0);
            double toField = FieldFilter.toField(variances, 0);
            double weight = its.trust[i];
            double total = toClient + toField + its.soils.ownWidth[i] / weight;
            for (int g = 0; g <= groups; g++) {
                double value = g == groups ? seen[c] : g == groupOf[i] ? 1 : 0;
                row[g] = value - client[g] - field[g];
                client[g] += toClient / total * row[g];
                field[g] += toField / total * row[g];
            }
            FieldFilter.narrow(variances, 0, total);
            double information = 1 / (total * its.spread * its.widening[i]);
            for (int g = 0; g < groups; g++) {
                if (row[g] != 0) {
                    double weighted = information * row[g];
                    right[g] += weighted * row[groups];
                    for (int h = 0; h <= g; h++) {
                        normal[g][h] += weighted * row[h];
                    }
                }
            }
        }
        for (int g = 0; g < groups; g++) {
            for (int h = 0; h < g; h++) {
                normal[h][g] = normal[g][h];
            }
            // Groups that nobody is in must not stop the others: a prior far wider than anything.
            normal[g][g] += 1e-6;
        }
    }

    /**
     * A contrast between groups.
     *
     * @param of for each group its coefficient; they add up to 0
     */
    public Contrast contrast(double[] of) {
        int p = size.length;
        double[] inColumns = new double[p];
        double[] variance = new double[p];
        for (int c = 0; c < p; c++) {
            double along = 0;
            double square = 0;
            for (int g = 0; g < of.length; g++) {
                along += of[g] * size[c][g];
                for (int h = 0; h < of.length; h++) {
                    square += of[g] * of[h] * covariance[c][g][h];
                }
            }
            for (int j = 0; j < p; j++) {
                inColumns[j] += toColumns[j][c] * along;
                variance[j] += toColumns[j][c] * toColumns[j][c] * square;
            }
        }
        double[] sd = new double[p];
        for (int j = 0; j < p; j++) {
            sd[j] = Math.sqrt(variance[j]);
        }
        return new Contrast(inColumns, sd);
    }

    /**
     * How far groups lie apart.
     *
     * @param size one for each of the method's columns, in the table's units
     * @param sd standard deviation of each
     */
    public record Contrast(double[] size, double[] sd) {}
}
