package org.tenmesh.proof.power;

import java.util.Arrays;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.statistics.LeastSquares;
import org.tenmesh.core.statistics.StudentT;

/**
 * What the judge is held against: each analyte of a method regressed on the other methods' results alone, by weights of a t density of five
 * degrees of freedom (Lange, Little and Taylor 1989), and nothing known of clients, fields or neighbours.
 */
final class PlainRegression {
    private static final double FREEDOM = 5;
    private static final int ROUNDS = 12;
    private static final StudentT DENSITY = new StudentT(FREEDOM);

    private final double[][] values;
    private final int[] own;
    /** What each row's other results predict, null where one is lacking. */
    private final @Nullable double[][] predicted;

    private final double[] sd;

    PlainRegression(double[][] values, int[] own, int[] others) {
        this.values = values;
        this.own = own;
        predicted = new double[values.length][];
        sd = new double[own.length];
        int[] whole = IntStream.range(0, values.length)
                .filter(row -> finite(values[row], own) && finite(values[row], others))
                .toArray();
        if (whole.length <= 2 * others.length) {
            return;
        }
        for (int row = 0; row < values.length; row++) {
            predicted[row] = finite(values[row], others) ? new double[own.length] : null;
        }
        double[][] x = Arrays.stream(whole)
                .mapToObj(row -> features(values[row], others))
                .toArray(double[][]::new);
        for (int c = 0; c < own.length; c++) {
            int column = own[c];
            double[] y =
                    Arrays.stream(whole).mapToDouble(row -> values[row][column]).toArray();
            double[] weights = new double[y.length];
            Arrays.fill(weights, 1);
            for (int round = 0; round < ROUNDS; round++) {
                LeastSquares fit = LeastSquares.fit(x, y, weights, true);
                sd[c] = Math.sqrt(fit.residualSumOfSquares() / y.length);
                for (int i = 0; i < y.length; i++) {
                    double z = (y[i] - predicted(fit, x[i])) / sd[c];
                    weights[i] = (FREEDOM + 1) / (FREEDOM + z * z);
                }
                for (int row = 0; row < values.length && round == ROUNDS - 1; row++) {
                    double[] here = predicted[row];
                    if (here != null) {
                        here[c] = predicted(fit, features(values[row], others));
                    }
                }
            }
        }
    }

    private static boolean finite(double[] row, int[] columns) {
        return Arrays.stream(columns).allMatch(column -> Double.isFinite(row[column]));
    }

    private static double[] features(double[] row, int[] others) {
        double[] features = new double[others.length + 1];
        features[0] = 1;
        for (int j = 0; j < others.length; j++) {
            features[j + 1] = row[others[j]];
        }
        return features;
    }

    private static double predicted(LeastSquares fit, double[] features) {
        double sum = 0;
        for (int j = 0; j < features.length; j++) {
            sum += fit.coefficient(j) * features[j];
        }
        return sum;
    }

    /** log10 odds of a tray turned against the same tray in its place; -1 where a well holds nothing. */
    double turned(int[] wells) {
        double sum = 0;
        for (int well = 0; well < wells.length; well++) {
            int soil = wells[well];
            int reading = wells[wells.length - 1 - well];
            if (soil >= 0 && reading >= 0 && predicted[soil] != null) {
                sum += density(soil, reading) - density(soil, soil);
            }
        }
        return sum;
    }

    private double density(int soil, int reading) {
        double[] mean = predicted[soil];
        double sum = 0;
        for (int c = 0; mean != null && c < own.length; c++) {
            double z = (values[reading][own[c]] - mean[c]) / sd[c];
            sum += Double.isFinite(z) ? DENSITY.log10(z, 1) : 0;
        }
        return sum;
    }
}
