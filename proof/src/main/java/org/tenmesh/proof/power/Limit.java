package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.KnownSoils;
import org.tenmesh.simulator.soils.Likeness;

/**
 * What nobody can do better: power when the invented soils' own model is known exactly, for trays of twelve clients' soils, for
 * neighbours, and for the beginning of a shift. The likelihood ratio is then the best test there is (Neyman and Pearson 1933, Phil. Trans. R. Soc. A 231:289), and its power is
 * calculated by drawing soils from the model: Gaussian, with the matrix and the shares of client, field and soil that made them, and
 * with the noise of the instruments as it is between what was judged and what is true. An exchange undone is the exchange done, so the odds of
 * the planted one are those of the clean one with their sign turned.
 */
final class Limit {
    private static final int COLUMNS = KnownSoils.symbols().size();
    private static final int WELLS = 12;
    private static final double FAR_OUT = 6;
    private static final int SHORTEST_CLIENT = 5;
    private static final int LONGEST_CLIENT = 60;
    private static final int SHORTEST_FIELD = 3;
    private static final int LONGEST_FIELD = 16;
    private static final int DRAWS_A_LAYOUT = 20;
    /** Three clients are enough around a tray: two are cut by it and one may lie inside. */
    private static final int MOST_CLIENTS = 6;

    private static final int SHIFT_LAYOUTS = 40;
    /** Soils around the beginning of a shift, and which of them it is. */
    private static final int SHIFT_SOILS = 34;

    private static final int SHIFT_START = 14;
    /** Beginnings that are compared, to either side. */
    private static final int SHIFT_AROUND = 8;

    private Limit() {}

    private static int[] own(String method) {
        return switch (DayTable.METHODS.indexOf(method)) {
            case 0 -> new int[] {0};
            case 1 -> new int[] {1};
            default -> IntStream.range(2, COLUMNS).toArray();
        };
    }

    /** Differences between what was judged and what is true of the soils of clean days, on the scale of the model. */
    static List<double[]> noise(SimulatedDay day, JudgedDay judged) {
        Map<LabNumber, double[]> measured = new TreeMap<>();
        for (Result result : judged.results()) {
            int column = KnownSoils.symbols().indexOf(result.analyte());
            if (column >= 0
                    && DayTable.METHODS.contains(result.method())
                    && !day.day().controls().containsKey(result.labNumber())) {
                double[] row = measured.computeIfAbsent(result.labNumber(), lab -> {
                    double[] empty = new double[COLUMNS];
                    Arrays.fill(empty, Double.NaN);
                    return empty;
                });
                double value = result.amount().raw();
                row[column] = column == 0 ? value : Math.log(Math.max(value, 1e-9));
            }
        }
        Map<LabNumber, double[]> truth = day.truth().contents();
        List<double[]> rows = new ArrayList<>();
        measured.forEach((lab, values) -> {
            double[] is = truth.get(lab);
            if (is != null) {
                double[] off = new double[COLUMNS];
                for (int c = 0; c < COLUMNS; c++) {
                    off[c] = values[c] - (c == 0 ? is[0] : Math.log(is[c]));
                }
                if (Arrays.stream(off).allMatch(Double::isFinite)) {
                    rows.add(off);
                }
            }
        });
        return rows;
    }

    /** Their covariance, with rows far out left away: those are small contents, of which the logarithm says nothing. */
    private static double[][] covariance(List<double[]> rows) {
        double[] spread = new double[COLUMNS];
        for (int c = 0; c < COLUMNS; c++) {
            int column = c;
            double[] sorted = rows.stream()
                    .mapToDouble(row -> Math.abs(row[column]))
                    .sorted()
                    .toArray();
            spread[c] = 1.4826 * sorted[sorted.length / 2];
        }
        double[][] sum = new double[COLUMNS][COLUMNS];
        int count = 0;
        for (double[] row : rows) {
            boolean near = IntStream.range(0, COLUMNS).allMatch(c -> Math.abs(row[c]) <= FAR_OUT * spread[c]);
            if (near) {
                count++;
                for (int i = 0; i < COLUMNS; i++) {
                    for (int j = 0; j < COLUMNS; j++) {
                        sum[i][j] += row[i] * row[j];
                    }
                }
            }
        }
        for (double[] line : sum) {
            for (int j = 0; j < COLUMNS; j++) {
                line[j] /= count;
            }
        }
        return sum;
    }

    /**
     * Power at rates of false alarms, by {@link CleanDays#key} and kind.
     *
     * @param tray log10 odds, with everything in its place, that a tray was turned, rising
     * @param same the same that neighbours of one field were exchanged
     * @param different the same of neighbours of two fields
     * @param start share of shifted runs whose beginning is placed within one soil
     */
    record Known(double[] tray, double[] same, double[] different, double start) {
        /** Neighbours' threshold is that of all pairs together, as they come. */
        double power(double[] clean, double[] all, double falseAlarms) {
            double threshold = CleanDays.threshold(all, falseAlarms);
            return Arrays.stream(clean).filter(odds -> -odds > threshold).count() / (double) clean.length;
        }

        double turned(double falseAlarms) {
            return power(tray, tray, falseAlarms);
        }

        double neighbours(boolean ofOneField, double falseAlarms) {
            double[] all = java.util.stream.DoubleStream.concat(Arrays.stream(same), Arrays.stream(different))
                    .sorted()
                    .toArray();
            return power(ofOneField ? same : different, all, falseAlarms);
        }
    }

    static Map<String, Known> of(List<double[]> noise, int draws, long seed) {
        double[][] soil = KnownSoils.covariance(Ground.ARABLE);
        double[][] measured = covariance(noise);
        Joint joint = new Joint(soil, measured);
        int layouts = Math.max(1, draws / DRAWS_A_LAYOUT);
        List<Map<String, double[][]>> all = IntStream.range(0, layouts)
                .parallel()
                .mapToObj(layout -> layout(joint, new Random(seed * 1_000_003 + layout)))
                .toList();
        Map<String, Known> known = new TreeMap<>();
        for (String method : DayTable.METHODS) {
            double[][] merged = new double[3][];
            for (int k = 0; k < 3; k++) {
                int part = k;
                merged[k] = all.stream()
                        .flatMapToDouble(one -> Arrays.stream(one.getOrDefault(method, new double[3][0])[part]))
                        .sorted()
                        .toArray();
            }
            known.put(method, new Known(merged[0], merged[1], merged[2], start(soil, measured, method, seed)));
        }
        return known;
    }

    /**
     * How often the likeliest beginning of a shift by one lies within one soil of the true one. Each beginning leaves another soil without
     * a reading; the readings' density given the soils' other results is compared among beginnings up to eight places away.
     */
    private static double start(double[][] soil, double[][] noise, String method, long seed) {
        int right = IntStream.range(0, SHIFT_LAYOUTS)
                .parallel()
                .map(layout -> placedRightly(soil, noise, own(method), new Random(seed * 7_000_003 + layout)))
                .sum();
        return right / (double) (SHIFT_LAYOUTS * DRAWS_A_LAYOUT);
    }

    private static int placedRightly(double[][] soil, double[][] noise, int[] own, Random chance) {
        int[] others = IntStream.range(0, COLUMNS)
                .filter(c -> Arrays.stream(own).noneMatch(o -> o == c))
                .toArray();
        int[][] places = places(SHIFT_SOILS, chance);
        double[][] white = Matrices.inverseOfLower(Matrices.root(between(places, soil, noise, others, others)));
        double[][] explained = Matrices.times(white, between(places, soil, noise, others, own));
        double[][] back = Matrices.turned(explained);
        double[][] left = between(places, soil, noise, own, own);
        double[][] taken = Matrices.times(back, explained);
        for (int i = 0; i < left.length; i++) {
            for (int j = 0; j < left.length; j++) {
                left[i][j] -= taken[i][j];
            }
        }
        int p = own.length;
        int candidates = 2 * SHIFT_AROUND + 1;
        double[][][] whitened = new double[candidates][][];
        double[] logDeterminant = new double[candidates];
        for (int k = 0; k < candidates; k++) {
            int unread = SHIFT_START - SHIFT_AROUND + k;
            int[] kept =
                    IntStream.range(0, left.length).filter(i -> i / p != unread).toArray();
            double[][] root = Matrices.root(Arrays.stream(kept)
                    .mapToObj(i ->
                            Arrays.stream(kept).mapToDouble(j -> left[i][j]).toArray())
                    .toArray(double[][]::new));
            for (int i = 0; i < root.length; i++) {
                logDeterminant[k] += Math.log(root[i][i]);
            }
            whitened[k] = Matrices.inverseOfLower(root);
        }
        Joint joint = new Joint(soil, noise);
        int right = 0;
        for (int draw = 0; draw < DRAWS_A_LAYOUT; draw++) {
            double[][] x = joint.draw(places, chance);
            double[] predicted = vector(back, vector(white, stacked(x, others)));
            double[] readings = IntStream.range(0, left.length)
                    .filter(i -> i / p != SHIFT_START)
                    .mapToDouble(i -> x[i / p][own[i % p]])
                    .toArray();
            int best = -1;
            double most = Double.NEGATIVE_INFINITY;
            for (int k = 0; k < candidates; k++) {
                int unread = SHIFT_START - SHIFT_AROUND + k;
                double[] off = new double[readings.length];
                for (int i = 0; i < off.length; i++) {
                    off[i] = readings[i] - predicted[i < unread * p ? i : i + p];
                }
                double density = -logDeterminant[k];
                for (double z : vector(whitened[k], off)) {
                    density -= 0.5 * z * z;
                }
                if (density > most) {
                    most = density;
                    best = unread;
                }
            }
            right += Math.abs(best - SHIFT_START) <= 1 ? 1 : 0;
        }
        return right;
    }

    // A stretch of soils as clients send them, that may begin in the midst of a client's.
    private static int[][] places(int soils, Random chance) {
        List<int[]> places = new ArrayList<>();
        int skipped = chance.nextInt(LONGEST_CLIENT);
        int fields = 0;
        for (int client = 0; places.size() < soils + skipped; client++) {
            int left = SHORTEST_CLIENT + chance.nextInt(LONGEST_CLIENT - SHORTEST_CLIENT + 1);
            for (; left > 0; fields++) {
                int points = Math.min(left, SHORTEST_FIELD + chance.nextInt(LONGEST_FIELD - SHORTEST_FIELD + 1));
                for (int k = 0; k < points; k++) {
                    places.add(new int[] {client, fields});
                }
                left -= points;
            }
        }
        return places.subList(skipped, skipped + soils).toArray(new int[0][]);
    }

    // Covariance of what was measured, soil by soil and within each column by column.
    private static double[][] between(int[][] places, double[][] soil, double[][] noise, int[] one, int[] other) {
        double[][] covariance = new double[places.length * one.length][places.length * other.length];
        for (int i = 0; i < covariance.length; i++) {
            for (int j = 0; j < covariance[i].length; j++) {
                int a = i / one.length;
                int b = j / other.length;
                int c = one[i % one.length];
                int d = other[j % other.length];
                covariance[i][j] = Joint.alike(places, a, b) * soil[c][d] + (a == b ? noise[c][d] : 0);
            }
        }
        return covariance;
    }

    private static double[] stacked(double[][] x, int[] columns) {
        return Arrays.stream(x)
                .flatMapToDouble(row -> Arrays.stream(columns).mapToDouble(c -> row[c]))
                .toArray();
    }

    private static double[] vector(double[][] matrix, double[] of) {
        double[] product = new double[matrix.length];
        for (int i = 0; i < product.length; i++) {
            for (int j = 0; j < of.length; j++) {
                product[i] += matrix[i][j] * of[j];
            }
        }
        return product;
    }

    /** Clients and fields as they come, a tray in their midst, soils drawn for them several times. */
    private static Map<String, double[][]> layout(Joint joint, Random chance) {
        List<int[]> places = new ArrayList<>();
        int fields = 0;
        int target = LONGEST_CLIENT + chance.nextInt(LONGEST_CLIENT);
        for (int client = 0; places.size() < target + WELLS + SHORTEST_CLIENT && client < 3 * MOST_CLIENTS; client++) {
            int left = SHORTEST_CLIENT + chance.nextInt(LONGEST_CLIENT - SHORTEST_CLIENT + 1);
            while (left > 0) {
                int points = Math.min(left, SHORTEST_FIELD + chance.nextInt(LONGEST_FIELD - SHORTEST_FIELD + 1));
                for (int k = 0; k < points; k++) {
                    places.add(new int[] {client, fields});
                }
                fields++;
                left -= points;
            }
        }
        int first = Math.min(target, places.size() - WELLS);
        int from = first;
        while (from > 0 && places.get(from - 1)[0] == places.get(first)[0]) {
            from--;
        }
        int to = first + WELLS;
        while (to < places.size() && places.get(to)[0] == places.get(first + WELLS - 1)[0]) {
            to++;
        }
        int[][] around = places.subList(from, to).toArray(new int[0][]);
        int tray = first - from;
        double[][][] inverse = joint.inverse(around);
        Map<String, double[][]> odds = new TreeMap<>();
        for (String method : DayTable.METHODS) {
            odds.put(method, new double[][] {new double[DRAWS_A_LAYOUT], {}, {}});
        }
        for (int draw = 0; draw < DRAWS_A_LAYOUT; draw++) {
            double[][] x = joint.draw(around, chance);
            for (String method : DayTable.METHODS) {
                double[][] into = odds.getOrDefault(method, new double[3][0]);
                int[] own = own(method);
                int[] turned = IntStream.range(0, x.length).toArray();
                for (int well = 0; well < WELLS; well++) {
                    turned[tray + well] = tray + WELLS - 1 - well;
                }
                double inPlace = joint.logDensity(x, inverse);
                into[0][draw] = joint.logDensity(moved(x, own, turned), inverse) - inPlace;
                int one = tray + chance.nextInt(WELLS - 1);
                int[] pair = IntStream.range(0, x.length).toArray();
                pair[one] = one + 1;
                pair[one + 1] = one;
                int kind = around[one][1] == around[one + 1][1] ? 1 : 2;
                into[kind] = Arrays.copyOf(into[kind], into[kind].length + 1);
                into[kind][into[kind].length - 1] = joint.logDensity(moved(x, own, pair), inverse) - inPlace;
                into[0][draw] /= Math.log(10);
                into[kind][into[kind].length - 1] /= Math.log(10);
            }
        }
        return odds;
    }

    private static double[][] moved(double[][] x, int[] own, int[] readings) {
        double[][] moved = new double[x.length][];
        for (int i = 0; i < x.length; i++) {
            moved[i] = x[i].clone();
            for (int c : own) {
                moved[i][c] = x[readings[i]][c];
            }
        }
        return moved;
    }

    /** Soils and noise together: in the right coordinates each is a number of its own, and only soils are alike. */
    private static final class Joint {
        private static final Likeness SHARES = Likeness.usual();
        private final double[][] soilRoot;
        private final double[][] noiseRoot;
        /** Rows are coordinates. */
        private final double[][] to;

        private final double[] strength;

        Joint(double[][] soil, double[][] noise) {
            soilRoot = Matrices.root(soil);
            noiseRoot = Matrices.root(noise);
            double[][] white = Matrices.inverseOfLower(noiseRoot);
            double[][] seen = Matrices.times(Matrices.times(white, soil), Matrices.turned(white));
            Matrices.Eigen eigen = Matrices.eigen(seen);
            strength = eigen.values();
            to = Matrices.times(Matrices.turned(eigen.vectors()), white);
        }

        static double alike(int[][] places, int i, int j) {
            return (places[i][0] == places[j][0] ? SHARES.client() : 0)
                    + (places[i][1] == places[j][1] ? SHARES.field() : 0)
                    + (i == j ? SHARES.soil() : 0);
        }

        double[][] draw(int[][] places, Random chance) {
            double[] client = new double[0];
            double[] field = new double[0];
            double[][] x = new double[places.length][];
            for (int i = 0; i < places.length; i++) {
                if (i == 0 || places[i][0] != places[i - 1][0]) {
                    client = some(soilRoot, chance);
                }
                if (i == 0 || places[i][1] != places[i - 1][1]) {
                    field = some(soilRoot, chance);
                }
                double[] its = some(soilRoot, chance);
                double[] noise = some(noiseRoot, chance);
                x[i] = new double[COLUMNS];
                for (int c = 0; c < COLUMNS; c++) {
                    x[i][c] = Math.sqrt(SHARES.client()) * client[c]
                            + Math.sqrt(SHARES.field()) * field[c]
                            + Math.sqrt(SHARES.soil()) * its[c]
                            + noise[c];
                }
            }
            return x;
        }

        private static double[] some(double[][] root, Random chance) {
            double[] independent = new double[COLUMNS];
            for (int c = 0; c < COLUMNS; c++) {
                independent[c] = chance.nextGaussian();
            }
            double[] some = new double[COLUMNS];
            for (int i = 0; i < COLUMNS; i++) {
                for (int j = 0; j <= i; j++) {
                    some[i] += root[i][j] * independent[j];
                }
            }
            return some;
        }

        /** Inverse covariance between the soils for every coordinate. */
        double[][][] inverse(int[][] places) {
            double[][][] inverse = new double[COLUMNS][][];
            for (int k = 0; k < COLUMNS; k++) {
                double[][] covariance = new double[places.length][places.length];
                for (int i = 0; i < places.length; i++) {
                    for (int j = 0; j < places.length; j++) {
                        covariance[i][j] = strength[k] * alike(places, i, j) + (i == j ? 1 : 0);
                    }
                }
                double[][] lower = Matrices.inverseOfLower(Matrices.root(covariance));
                inverse[k] = lower;
            }
            return inverse;
        }

        /** Up to a constant that no exchange changes. */
        double logDensity(double[][] x, double[][][] inverse) {
            double sum = 0;
            double[] u = new double[x.length];
            for (int k = 0; k < COLUMNS; k++) {
                for (int i = 0; i < x.length; i++) {
                    u[i] = 0;
                    for (int c = 0; c < COLUMNS; c++) {
                        u[i] += to[k][c] * x[i][c];
                    }
                }
                for (int i = 0; i < x.length; i++) {
                    double white = 0;
                    for (int j = 0; j <= i; j++) {
                        white += inverse[k][i][j] * u[j];
                    }
                    sum -= 0.5 * white * white;
                }
            }
            return sum;
        }
    }
}
