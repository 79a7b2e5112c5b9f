package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.random.RandomGenerator;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;

/** Soils drawn from a Gaussian model that is written down here and nowhere else: two columns of one method follow from three of others. */
final class MadeSoils {
    static final int[] OWN = {0, 1};
    static final int[] OTHERS = {2, 3, 4};
    private static final double[][] FOLLOW = {{0.8, -0.5, 0.2}, {0.1, 0.6, -0.7}};
    private static final int FIELDS = 4;
    private static final int IN_FIELD = 6;

    final SoilTable table;

    MadeSoils(int clients, RandomGenerator random) {
        int n = clients * FIELDS * IN_FIELD;
        double[][] values = new double[n][5];
        int[] client = new int[n];
        int[] field = new int[n];
        double[] ofClient = new double[5];
        double[] ofField = new double[5];
        for (int i = 0; i < n; i++) {
            if (i % (FIELDS * IN_FIELD) == 0) {
                Arrays.setAll(ofClient, j -> 1.2 * random.nextGaussian());
            }
            if (i % IN_FIELD == 0) {
                Arrays.setAll(ofField, j -> 0.7 * random.nextGaussian());
            }
            client[i] = i / (FIELDS * IN_FIELD);
            field[i] = i / IN_FIELD;
            for (int j : OTHERS) {
                values[i][j] = ofClient[j] + ofField[j] + 0.4 * random.nextGaussian();
            }
            for (int c : OWN) {
                values[i][c] = 0.5 * ofClient[c] + 0.4 * ofField[c] + 0.15 * random.nextGaussian();
                for (int k = 0; k < OTHERS.length; k++) {
                    values[i][c] += FOLLOW[c][k] * values[i][OTHERS[k]];
                }
            }
        }
        table = new SoilTable(values, client, field);
    }

    Agreement learnt() {
        return Agreement.learn(Assumptions.of(Policy.defaults()), table, OWN, OTHERS);
    }

    static int[] rows(int from, int count) {
        return IntStream.range(from, from + count).toArray();
    }

    /** Lets readings of the method be recorded under other rows: reading k of {@code from} comes to lie at {@code to}. */
    void record(int[] from, int[] to) {
        double[][] kept = new double[from.length][];
        for (int k = 0; k < from.length; k++) {
            kept[k] = table.values()[from[k]].clone();
        }
        for (int k = 0; k < to.length; k++) {
            for (int c : OWN) {
                table.values()[to[k]][c] = kept[k][c];
            }
        }
    }
}
