package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.statistics.LeastSquares;
import org.tenmesh.core.statistics.StudentT;

/** One analyte's ordinary soils: those of the runs in question, and all others of the method, which know nothing of it. */
final class OrdinarySoils {
    private static final int ROUNDS = 4;

    private final DaySoils soils;
    private final Policy policy;
    private final double learningFreedom;
    private final MethodSoils method;
    private final int column;
    private final int[] rows;
    /** Whether a row was read in the runs in question. */
    private final boolean[] inQuestion;

    private final int[] group;
    private final int groups;
    private double[][] features = new double[0][];
    private double[] coefficients = new double[0];

    /**
     * What the ordinary soils say of an amount: a t density about it.
     *
     * @param soils how many say so
     */
    record Said(double amount, double sd, double freedom, int soils) {
        static final Said NOTHING = new Said(0, Double.POSITIVE_INFINITY, 4, 0);

        /** Against nothing, as a common logarithm. */
        double log10(double of) {
            StudentT density = new StudentT(freedom);
            return Double.isInfinite(sd) ? 0 : density.log10(of - amount, sd) - density.log10(-amount, sd);
        }
    }

    /**
     * @param others columns of the other methods that its soils have
     * @param of indices of the runs in question
     */
    OrdinarySoils(DaySoils soils, MethodSoils method, int column, int[] others, Set<Integer> of, Policy policy) {
        this.soils = soils;
        this.policy = policy;
        this.learningFreedom = policy.number(Setting.INTERFERENCE_LEARNING_FREEDOM);
        this.method = method;
        this.column = column;
        int[] columns = IntStream.concat(
                        IntStream.range(0, method.own.length)
                                .filter(c -> c != column)
                                .map(c -> method.own[c]),
                        IntStream.of(others))
                .toArray();
        Map<Integer, List<Integer>> here = new TreeMap<>();
        Map<Integer, List<Integer>> elsewhere = new TreeMap<>();
        int inside = 0;
        int outside = 0;
        for (int row = 0; row < soils.size(); row++) {
            boolean asked = method.runOf[row] >= 0 && of.contains(method.runOf[row]);
            if (method.runOf[row] < 0
                    || soils.client(row) < 0
                    || (asked ? inside : outside) >= policy.whole(Setting.INTERFERENCE_MOST_SOILS)
                    || !Double.isFinite(soils.value(row, method, column))
                    || !soils.isWhole(row, columns)) {
                continue;
            }
            inside += asked ? 1 : 0;
            outside += asked ? 0 : 1;
            (asked ? here : elsewhere)
                    .computeIfAbsent(soils.client(row), client -> new ArrayList<>())
                    .add(row);
        }
        List<List<Integer>> clients = new ArrayList<>(here.values());
        int asked = clients.size();
        clients.addAll(elsewhere.values());
        int n = clients.stream().mapToInt(this::counted).sum();
        rows = new int[n];
        group = new int[n];
        inQuestion = new boolean[n];
        int g = 0;
        int i = 0;
        for (int c = 0; c < clients.size(); c++) {
            if (counted(clients.get(c)) > 0) {
                for (int row : clients.get(c)) {
                    rows[i] = row;
                    group[i] = g;
                    inQuestion[i++] = c < asked;
                }
                g++;
            }
        }
        groups = g;
        learn(columns);
    }

    // Fewer soils of a client have no slope of their own.
    private int counted(List<Integer> ofClient) {
        return ofClient.size() < policy.whole(Setting.INTERFERENCE_LEAST_OF_CLIENT) ? 0 : ofClient.size();
    }

    private void learn(int[] columns) {
        double[][] all = new double[rows.length][columns.length];
        for (int j = 0; j < columns.length; j++) {
            double[] values = new double[rows.length];
            for (int i = 0; i < rows.length; i++) {
                values[i] = soils.value(rows[i], columns[j]);
            }
            double[] within = within(values);
            for (int i = 0; i < rows.length; i++) {
                all[i][j] = within[i];
            }
        }
        int[] learning =
                IntStream.range(0, rows.length).filter(i -> !inQuestion[i]).toArray();
        if (learning.length < policy.whole(Setting.RELATIONS_ROWS_PER_COEFFICIENT) * (columns.length + 1)) {
            return;
        }
        double[] y = within(read());
        double[][] x = Arrays.stream(learning).mapToObj(i -> all[i]).toArray(double[][]::new);
        double[] target = Arrays.stream(learning).mapToDouble(i -> y[i]).toArray();
        double[] weights = new double[learning.length];
        Arrays.fill(weights, 1);
        for (int round = 0; round < ROUNDS; round++) {
            try {
                LeastSquares fit = LeastSquares.fit(x, target, weights, false);
                coefficients = IntStream.range(0, columns.length)
                        .mapToDouble(fit::coefficient)
                        .toArray();
            } catch (IllegalArgumentException dependent) {
                coefficients = new double[0];
                return;
            }
            double[] off = new double[target.length];
            for (int i = 0; i < off.length; i++) {
                off[i] = target[i] - times(coefficients, x[i]);
            }
            weights = weights(off);
        }
        features = all;
    }

    private double[] read() {
        return Arrays.stream(rows)
                .mapToDouble(row -> soils.value(row, method, column))
                .toArray();
    }

    // Each value less the mean of its client's.
    private double[] within(double[] values) {
        double[] sum = new double[groups];
        int[] n = new int[groups];
        for (int i = 0; i < values.length; i++) {
            sum[group[i]] += values[i];
            n[group[i]]++;
        }
        double[] within = new double[values.length];
        for (int i = 0; i < values.length; i++) {
            within[i] = values[i] - sum[group[i]] / n[group[i]];
        }
        return within;
    }

    private static double times(double[] one, double[] two) {
        double sum = 0;
        for (int j = 0; j < one.length; j++) {
            sum += one[j] * two[j];
        }
        return sum;
    }

    // Of a t density of their own scale, divided by the variance.
    private double[] weights(double[] off) {
        double[] weights = new double[off.length];
        Arrays.fill(weights, 1);
        for (int round = 0; round < ROUNDS; round++) {
            double variance = 0;
            for (int i = 0; i < off.length; i++) {
                variance += Math.min(1, weights[i]) * off[i] * off[i];
            }
            variance = Math.max(variance / off.length, 1e-12);
            for (int i = 0; i < off.length; i++) {
                weights[i] = (learningFreedom + 1) / (learningFreedom + off[i] * off[i] / variance);
            }
        }
        return weights;
    }

    /** The amount that would leave nothing of {@link Setting#INTERFERENCE_NOTHING_LEFT} of the soils in question; no limit where there are none. */
    double most(int other) {
        double[] ratios = IntStream.range(0, rows.length)
                .filter(i -> inQuestion[i] && others(i, other) > 0)
                .mapToDouble(i -> Math.max(0, content(i)) / others(i, other))
                .sorted()
                .toArray();
        return ratios.length == 0
                ? Double.MAX_VALUE
                : ratios[(int) (policy.number(Setting.INTERFERENCE_NOTHING_LEFT) * ratios.length)];
    }

    private double content(int i) {
        return method.unscaled(column, soils.value(rows[i], method, column));
    }

    private double others(int i, int other) {
        return other < 0 ? 1 : method.unscaled(other, soils.value(rows[i], method, other));
    }

    /**
     * How much of another element is in the signal.
     *
     * @param other column of the element, -1 for the same in every tube
     * @param at where to begin
     * @param most what it cannot exceed, of either sign
     */
    Said says(int other, double proportion, double at, double most) {
        if (coefficients.length == 0) {
            return Said.NOTHING;
        }
        double amount = at;
        @Nullable Said said = null;
        for (int round = 0; round < ROUNDS; round++) {
            said = says(other, proportion, amount);
            if (said == null) {
                return Said.NOTHING;
            }
            amount = Math.max(other < 0 ? -most : 0, Math.min(most, said.amount()));
        }
        return Objects.requireNonNullElse(said, Said.NOTHING);
    }

    private @Nullable Said says(int other, double proportion, double amount) {
        int n = rows.length;
        double floor = method.floor[column];
        double[] x = new double[n];
        double[] y = new double[n];
        double whole = Math.max(0.1, 1 - amount * proportion);
        for (int i = 0; i < n; i++) {
            x[i] = others(i, other);
            double content = content(i);
            double own = inQuestion[i] ? (content - amount * x[i]) / whole : content;
            y[i] = method.scaled(column, own);
        }
        double[] within = within(y);
        double[] off = new double[n];
        double[] lever = new double[n];
        for (int i = 0; i < n; i++) {
            off[i] = within[i] - times(coefficients, features[i]);
            double own = Math.max(0, method.unscaled(column, y[i] - off[i]));
            double each = x[i] - proportion * own;
            lever[i] = each / Math.max(own + (inQuestion[i] ? amount * each : 0) + floor, floor);
        }
        double[] weights = weights(off);
        double[] levers = within(lever);
        double[] above = new double[groups];
        double[] below = new double[groups];
        double[] squares = new double[groups];
        int[] size = new int[groups];
        boolean[] of = new boolean[groups];
        for (int i = 0; i < n; i++) {
            above[group[i]] += weights[i] * levers[i] * off[i];
            below[group[i]] += weights[i] * levers[i] * levers[i];
            of[group[i]] = inQuestion[i];
            size[group[i]]++;
        }
        double sum = 0;
        for (int i = 0; i < n; i++) {
            double slope = below[group[i]] > 0 ? above[group[i]] / below[group[i]] : 0;
            double left = off[i] - slope * levers[i];
            squares[group[i]] += weights[i] * left * left;
            sum += weights[i] * left * left;
        }
        double variance = sum / Math.max(1, n - 2 * groups);
        List<double[]> here = new ArrayList<>();
        List<double[]> elsewhere = new ArrayList<>();
        int soilsHere = 0;
        for (int g = 0; g < groups; g++) {
            if (below[g] > 0) {
                // A client's own scatter, drawn towards that of all.
                double own = (squares[g] + policy.number(Setting.INTERFERENCE_CLIENT_PRIOR) * variance)
                        / (size[g] - 2 + policy.number(Setting.INTERFERENCE_CLIENT_PRIOR));
                (of[g] ? here : elsewhere).add(new double[] {above[g] / below[g], own / below[g]});
                soilsHere += of[g] ? size[g] : 0;
            }
        }
        if (here.size() < policy.whole(Setting.INTERFERENCE_LEAST_CLIENTS)
                || elsewhere.size() < policy.whole(Setting.INTERFERENCE_LEAST_CLIENTS)) {
            return null;
        }
        double between = between(elsewhere);
        double[] usual = mean(elsewhere, between);
        double[] now = mean(here, between);
        return new Said(
                amount + now[0] - usual[0],
                Math.sqrt(now[1] + usual[1]),
                Math.max(3, Math.min(here.size(), elsewhere.size()) - 1),
                soilsHere);
    }

    // DerSimonian and Laird's moment estimate of the variance between clients.
    private static double between(List<double[]> slopes) {
        double w = 0;
        double ww = 0;
        double wb = 0;
        for (double[] one : slopes) {
            w += 1 / one[1];
            ww += 1 / (one[1] * one[1]);
            wb += one[0] / one[1];
        }
        double mean = wb / w;
        double q = 0;
        for (double[] one : slopes) {
            q += (one[0] - mean) * (one[0] - mean) / one[1];
        }
        return Math.max(0, (q - (slopes.size() - 1)) / (w - ww / w));
    }

    private static double[] mean(List<double[]> slopes, double between) {
        double w = 0;
        double wb = 0;
        for (double[] one : slopes) {
            w += 1 / (one[1] + between);
            wb += one[0] / (one[1] + between);
        }
        return new double[] {wb / w, 1 / w};
    }
}
