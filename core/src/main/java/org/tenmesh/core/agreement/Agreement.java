package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.BitSet;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntUnaryOperator;
import java.util.stream.IntStream;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.special.Gamma;
import org.jspecify.annotations.Nullable;

/**
 * How likely the readings of one method are, given the soils' results by other methods and the order in which clients sent their soils.
 *
 * <p>The method's results are regressed on the others and their squares: a multivariate t regression by expectation and
 * maximisation (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881), so that soils that fit nobody pull at nothing. What is
 * left is alike among soils of one client, more so among neighbours on its sheet, because they come from one field: in coordinates in
 * which both kinds of likeness are uncorrelated it is a constant of the client, plus a first-order autoregression along the sheet,
 * plus what is the soil's own. A Kalman filter (Harvey 1989, Forecasting, Structural Time Series Models and the Kalman Filter,
 * chapter 3) forecasts each soil from those before it; the density of what was read is a t density around the forecast, whose
 * width and degrees of freedom are the likeliest for the day itself.
 *
 * <p>Rows are those of a {@link SoilTable}. Every likelihood is a natural logarithm of a density in the units of the table, so
 * that hypotheses which give the same readings to different soils can be compared.
 */
public final class Agreement {
    /** Degrees of freedom while relations are learnt: strange soils must not pull (the article's own choice lies at 4 to 5). */
    private static final double LEARNING_FREEDOM = 5;

    private static final double[] FREEDOMS = {3, 4, 6, 9, 15, 30, 100};
    private static final int ROUNDS = 8;
    /** How much wider than the soils of one field the day is taken to be before anything is known (the first round only). */
    private static final double FIRST_SIGNAL = 8;

    private static final double FIRST_DECAY = 0.9;

    /** Fewest soils from which relations are learnt (choice). */
    public static final int FEWEST = 40;
    /** Soils that relations are learnt from at the most. */
    private static final int MOST_LEARNT = 2000;
    /** Soils after the last one in question whose forecasts still depend on it. */
    private static final int AFTER = 8;
    /** Chance that a soil gives no result though it was there. */
    private static final double LOG_FLAWED = Math.log(0.002);

    private static final double LOG_HALF = Math.log(0.5);
    /** Chance that a well that was to stay empty holds a soil after all. */
    private static final double FILLED = 0.001;

    /** Soils on the day's own scale that each client is given before its own are looked at (choice). */
    private static final double PRIOR_SOILS = 20;

    /** Of the variance of a column, what neighbours' differences must leave (choice: a thousandth of its standard deviation). */
    private static final double LEAST_SHARE = 1e-6;
    /** Least variance on the scale of the table, pH or natural logarithms of contents: beyond the digits of any reading (choice). */
    private static final double LEAST_VARIANCE = 1e-12;

    private static final int WIDENING_ROUNDS = 3;
    /** Chance that a client's soils follow none of the relations that hold for most (choice). */
    private static final double LOG_FOLLOWS_NONE = Math.log(0.05);

    private static final double LOG_FOLLOWS = Math.log(0.95);
    /** Soils of a table that scatter widely enough to say how widely. */
    private static final int FEWEST_TO_SETTLE = 200;

    private final SoilTable table;
    /** Rows that are spoken of. */
    private final BitSet rows;

    private final int fewestToSettle;
    private int learntFrom;
    private final int[] own;
    private final int p;
    private final int[] others;
    private final double[] middle;
    private final double[] scale;
    private final double[][] foretold;
    private double[][] coefficients = new double[0][];
    private final boolean[] readable;
    private final int[] sequenceStart;
    private final int[] sequenceEnd;
    private final double[][] knownMean;
    private final double[][] knownSd;
    private final boolean[] nothing;
    private Vessel vessel = new Vessel(new double[0], new double[0], new double[0]);
    private double[][] toCoordinates = new double[0][];
    private double[][] fromCoordinates = new double[0][];
    private double[] signal = new double[0];
    private double clientShare;
    private double decay;
    private double across;
    private boolean namesTell;
    private double freedom = LEARNING_FREEDOM;
    private double spread = 1;
    private double constant;
    private double[] centre = new double[0];
    private double[][] wholeRoot = new double[0][];
    private double wholeConstant;
    /** Before each row: client's constant, field's state and their variances, for every coordinate. */
    private @Nullable double[][] states = new double[0][];

    /** The same method without relations to others: what is left to say of a client whose soils follow none of the day's. */
    private @Nullable Agreement plain;
    /** For each row the sum of the likelihoods of its client's readings in their places. */
    private double[] together = new double[0];
    /** For each row by how much its client's soils scatter more widely than the day's. */
    private double[] widening = new double[0];
    /** What each row adds to that. */
    private double[] contribution = new double[0];
    /** Squared distance of each reading from its forecast and logarithm of the forecast's variances, before the spread. */
    private double[] inDistance = new double[0];

    private double[] logProduct = new double[0];
    private double[] inPlace = new double[0];
    private double[] trust = new double[0];

    private Agreement(SoilTable table, int[] own, int[] others) {
        this.table = table;
        this.own = own.clone();
        this.others = others.clone();
        middle = new double[others.length];
        scale = new double[others.length];
        p = own.length;
        int n = table.soils();
        rows = new BitSet(n);
        rows.set(0, n);
        fewestToSettle = 0;
        foretold = new double[n][];
        readable = new boolean[n];
        sequenceStart = new int[n];
        sequenceEnd = new int[n];
        knownMean = new double[n][];
        knownSd = new double[n][];
        nothing = new boolean[n];
        sequences();
        double[][] features = features();
        int[] used = used(features);
        if (p == 0 || used.length < Math.max(FEWEST, 3 * (1 + 2 * others.length)) || isWithoutVariance(used)) {
            return;
        }
        learntFrom = used.length;
        for (int round = 0; round < 2; round++) {
            double[][] residual = regress(features, used);
            if (!coordinates(residual, used)) {
                signal = new double[0];
                return;
            }
            likeness(residual, used);
        }
        population(used);
    }

    // The same relations on another table, or on the same one as it is now.
    private Agreement(Agreement learnt, SoilTable table, BitSet rows, boolean[] readNothing) {
        this.table = table;
        own = learnt.own;
        others = learnt.others;
        p = learnt.p;
        middle = learnt.middle;
        scale = learnt.scale;
        coefficients = learnt.coefficients;
        toCoordinates = learnt.toCoordinates;
        fromCoordinates = learnt.fromCoordinates;
        signal = learnt.signal;
        clientShare = learnt.clientShare;
        decay = learnt.decay;
        across = learnt.across;
        namesTell = learnt.namesTell;
        constant = learnt.constant;
        centre = learnt.centre;
        wholeRoot = learnt.wholeRoot;
        wholeConstant = learnt.wholeConstant;
        freedom = learnt.freedom;
        spread = learnt.spread;
        vessel = learnt.vessel;
        this.rows = rows;
        int n = table.soils();
        boolean same = table == learnt.table;
        fewestToSettle = same ? learnt.fewestToSettle : FEWEST_TO_SETTLE;
        sequenceStart = same ? learnt.sequenceStart : new int[n];
        sequenceEnd = same ? learnt.sequenceEnd : new int[n];
        knownMean = same ? learnt.knownMean : new double[n][];
        knownSd = same ? learnt.knownSd : new double[n][];
        nothing = readNothing.clone();
        readable = new boolean[n];
        foretold = new double[n][];
        if (!same) {
            sequences();
        }
        double[][] features = featuresOfAll();
        for (int i = 0; i < n && speaks(); i++) {
            if (features[i].length > 0) {
                foretold[i] = times(coefficients, features[i]);
            }
        }
    }

    /**
     * Learns how a method's results follow from the others.
     *
     * @param own columns of the method
     * @param others columns of the other methods
     * @return nothing can be learnt from fewer than 40 soils that have all of both: then {@link #speaks()} is false
     */
    public static Agreement learn(SoilTable table, int[] own, int[] others) {
        Agreement learnt = new Agreement(table, own, others);
        learnt.plain = others.length == 0 ? null : new Agreement(table, own, new int[0]);
        learnt.settle();
        return learnt;
    }

    /**
     * Learns the same with control soils stated and vessels without soil recognised.
     *
     * @param readNothing for each row whether a reading was made that no soil gives
     */
    public static Agreement learn(
            SoilTable table, int[] own, int[] others, Known known, Vessel vessel, boolean[] readNothing) {
        Agreement learnt = new Agreement(table, own, others);
        learnt.know(known, vessel, readNothing);
        if (others.length > 0) {
            Agreement alone = new Agreement(table, own, new int[0]);
            alone.know(known, vessel, readNothing);
            learnt.plain = alone;
        }
        learnt.settle();
        return learnt;
    }

    private void know(Known known, Vessel kept, boolean[] readNothing) {
        System.arraycopy(known.mean(), 0, knownMean, 0, knownMean.length);
        System.arraycopy(known.sd(), 0, knownSd, 0, knownSd.length);
        System.arraycopy(readNothing, 0, nothing, 0, nothing.length);
        vessel = kept;
    }

    /** The relations that were learnt, on the table with readings moved since: a few soils put right change no relation. */
    public Agreement afresh(boolean[] readNothing) {
        Agreement again = new Agreement(this, table, rows, readNothing);
        again.plain = plain == null ? null : new Agreement(plain, table, rows, readNothing);
        again.settle();
        return again;
    }

    /**
     * The relations that were learnt, for the soils of another table with the same columns. Its own soils say how widely they scatter when
     * they are 200 or more; else those it was learnt from do, with a little added for what learning takes away.
     *
     * @param of the rows that are spoken of
     */
    public Agreement on(SoilTable other, BitSet of, Known known, Vessel kept, boolean[] readNothing) {
        Agreement there = there(other, of, known, kept, readNothing);
        there.plain = plain == null ? null : plain.there(other, of, known, kept, readNothing);
        there.settle();
        return there;
    }

    /** The same, with readings that belong to no soil in question looked for among all soils that another agreement was learnt from. */
    public Agreement withStraysOf(Agreement everybody) {
        centre = everybody.centre;
        wholeRoot = everybody.wholeRoot;
        wholeConstant = everybody.wholeConstant;
        return this;
    }

    private Agreement there(SoilTable other, BitSet of, Known known, Vessel kept, boolean[] readNothing) {
        Agreement there = new Agreement(this, other, of, readNothing);
        there.know(known, kept, readNothing);
        double features = 1 + 2.0 * others.length;
        there.spread *= learntFrom > features ? learntFrom / (learntFrom - features) : 1;
        return there;
    }

    /**
     * What the materials of control soils are known to give.
     *
     * @param mean for each row, in the order of the method's columns; null where the row is no control soil
     * @param sd standard deviations of the same
     */
    public record Known(@Nullable double[][] mean, @Nullable double[][] sd) {}

    /**
     * What vessels give of which no soil need be known, in the order of the method's columns.
     *
     * @param emptyMean of a vessel without soil
     * @param emptySd standard deviation of the same
     * @param repeatSd standard deviation of one soil read again
     */
    public record Vessel(double[] emptyMean, double[] emptySd, double[] repeatSd) {}

    /** Whether anything was learnt. */
    public boolean speaks() {
        return signal.length > 0;
    }

    /** Whether anything can be said of a row's soil. */
    public boolean speaksOf(int row) {
        return speaks() && (foretold[row] != null || knownMean[row] != null);
    }

    /** The last row of the client's sequence that a row is in. */
    int sequenceEnd(int row) {
        return sequenceEnd[row];
    }

    // A client's soils follow each other; controls lie between them and do not break the sequence.
    private void sequences() {
        int n = table.soils();
        int start = 0;
        for (int i = 0; i < n; i++) {
            if (table.client()[i] >= 0 && table.client()[start] >= 0 && table.client()[i] != table.client()[start]) {
                start = i;
            }
            if (table.client()[start] < 0) {
                start = i;
            }
            sequenceStart[i] = start;
        }
        for (int i = n - 1; i >= 0; i--) {
            sequenceEnd[i] = i + 1 < n && sequenceStart[i + 1] == sequenceStart[i] ? sequenceEnd[i + 1] : i;
        }
    }

    // Whether most soils agree to the last digit in a column: a continuous density does not describe it, and its
    // scatter
    // would come out as nothing.
    private boolean isWithoutVariance(int[] used) {
        for (int column : own) {
            double[] values = new double[used.length];
            for (int k = 0; k < used.length; k++) {
                values[k] = table.values()[used[k]][column];
            }
            if (mostHoldOneValue(values)) {
                return true;
            }
        }
        return false;
    }

    /** Whether more than half of some values, all finite, are one and the same number: the usable variance of a column is then nothing. */
    public static boolean mostHoldOneValue(double[] values) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        // What more than half are stands in the middle.
        double middle = sorted.length == 0 ? Double.NaN : sorted[sorted.length / 2];
        int same = 0;
        for (double value : sorted) {
            same += value == middle ? 1 : 0;
        }
        return 2 * same > sorted.length;
    }

    // Standardised columns, their squares, a one; rows that lack anything are left empty.
    private double[][] features() {
        for (int j = 0; j < others.length; j++) {
            int column = others[j];
            double[] sorted = Arrays.stream(table.values())
                    .mapToDouble(row -> row[column])
                    .filter(Double::isFinite)
                    .sorted()
                    .toArray();
            middle[j] = sorted.length == 0 ? 0 : sorted[sorted.length / 2];
            double width = sorted.length == 0 ? 0 : sorted[sorted.length * 3 / 4] - sorted[sorted.length / 4];
            scale[j] = width > 0 ? width / 1.349 : 1;
        }
        return featuresOfAll();
    }

    private double[][] featuresOfAll() {
        int n = table.soils();
        double[][] features = new double[n][];
        for (int i = 0; i < n; i++) {
            double[] values = table.values()[i];
            boolean whole = rows.get(i) && table.client()[i] >= 0;
            for (int column : others) {
                whole &= Double.isFinite(values[column]);
            }
            readable[i] = true;
            for (int column : own) {
                readable[i] &= Double.isFinite(values[column]);
            }
            features[i] = whole ? features(values) : new double[0];
        }
        return features;
    }

    private double[] features(double[] values) {
        double[] features = new double[1 + 2 * others.length];
        features[0] = 1;
        for (int j = 0; j < others.length; j++) {
            // A value far out must not bend the curve for all.
            double z = Math.max(-4, Math.min(4, (values[others[j]] - middle[j]) / scale[j]));
            features[1 + j] = z;
            features[1 + others.length + j] = z * z;
        }
        return features;
    }

    private int[] used(double[][] features) {
        int[] used = new int[features.length];
        int count = 0;
        for (int i = 0; i < features.length; i++) {
            if (features[i].length > 0 && readable[i]) {
                used[count++] = i;
            }
        }
        int every = 1 + (count - 1) / MOST_LEARNT;
        if (every == 1) {
            return Arrays.copyOf(used, count);
        }
        // Whole sequences, evenly over the day: more soils would change nothing but the time it takes.
        int kept = 0;
        int sequence = -1;
        int last = -1;
        for (int k = 0; k < count; k++) {
            int start = sequenceStart[used[k]];
            sequence += start == last ? 0 : 1;
            last = start;
            if (sequence % every == 0) {
                used[kept++] = used[k];
            }
        }
        return Arrays.copyOf(used, kept);
    }

    // Least squares would give the few clients as much say as the many soils: rows are first made independent of those
    // before
    // them in their sequence, by the filter that the likeness of the last round asks for.
    private double[][] regress(double[][] features, int[] used) {
        int n = features.length;
        double[][] x = new double[used.length][];
        double[][] y = new double[used.length][];
        whiten(features, used, x, y);
        double[] weight = new double[used.length];
        Arrays.fill(weight, 1);
        for (int round = 0; round < ROUNDS; round++) {
            coefficients = coefficients(x, y, weight);
            double[][] scatter = new double[p][p];
            double[][] left = new double[used.length][];
            for (int k = 0; k < used.length; k++) {
                left[k] = times(coefficients, x[k]);
                for (int c = 0; c < p; c++) {
                    left[k][c] = y[k][c] - left[k][c];
                }
                addSquare(scatter, left[k], weight[k] / used.length);
            }
            double[][] root = inverseRoot(scatter);
            double most = 0;
            for (int k = 0; k < used.length; k++) {
                double next = weightOf(LEARNING_FREEDOM, squaredDistance(root, left[k]), p);
                most = Math.max(most, Math.abs(next - weight[k]));
                weight[k] = next;
            }
            if (most < 0.02) {
                break;
            }
        }
        double[][] residual = new double[n][];
        for (int i = 0; i < n; i++) {
            if (features[i].length > 0) {
                foretold[i] = times(coefficients, features[i]);
            }
        }
        for (int i : used) {
            residual[i] = new double[p];
            for (int c = 0; c < p; c++) {
                residual[i][c] = table.values()[i][own[c]] - foretold[i][c];
            }
        }
        return residual;
    }

    private void whiten(double[][] features, int[] used, double[][] x, double[][] y) {
        double strength = signal.length == 0
                ? FIRST_SIGNAL
                : Arrays.stream(signal).average().orElse(FIRST_SIGNAL);
        double share = signal.length == 0 ? 0.5 : clientShare;
        int q = features[used[0]].length;
        double[] clientState = new double[q + p];
        double[] fieldState = new double[q + p];
        double vClient = 0;
        double vField = 0;
        double vBoth = 0;
        int last = -1;
        for (int k = 0; k < used.length; k++) {
            int i = used[k];
            if (last < 0 || sequenceStart[i] != sequenceStart[last]) {
                Arrays.fill(clientState, 0);
                Arrays.fill(fieldState, 0);
                vClient = share * strength;
                vField = (1 - share) * strength;
                vBoth = 0;
            } else {
                double fade = signal.length == 0 ? FIRST_DECAY : fade(i, last);
                fade = i - last > 1 ? Math.pow(fade, i - last) : fade;
                for (int j = 0; j < fieldState.length; j++) {
                    fieldState[j] *= fade;
                }
                vField = fade * fade * vField + (1 - fade * fade) * (1 - share) * strength;
                vBoth *= fade;
            }
            last = i;
            double toClient = vClient + vBoth;
            double toField = vBoth + vField;
            double total = toClient + toField + 1;
            double scale = 1 / Math.sqrt(total);
            x[k] = new double[q];
            y[k] = new double[p];
            for (int j = 0; j < q + p; j++) {
                double value = j < q ? features[i][j] : table.values()[i][own[j - q]];
                double innovation = value - clientState[j] - fieldState[j];
                if (j < q) {
                    x[k][j] = innovation * scale;
                } else {
                    y[k][j - q] = innovation * scale;
                }
                clientState[j] += toClient / total * innovation;
                fieldState[j] += toField / total * innovation;
            }
            vClient -= toClient / total * toClient;
            vBoth -= toClient / total * toField;
            vField -= toField / total * toField;
        }
    }

    // One row a column of the method.
    private double[][] coefficients(double[][] features, double[][] own, double[] weight) {
        int q = features[0].length;
        double[][] xx = new double[q][q];
        double[][] xy = new double[q][p];
        for (int i = 0; i < features.length; i++) {
            double[] x = features[i];
            double[] y = own[i];
            for (int a = 0; a < q; a++) {
                double wx = weight[i] * x[a];
                double[] row = xx[a];
                for (int b = 0; b <= a; b++) {
                    row[b] += wx * x[b];
                }
                double[] cross = xy[a];
                for (int c = 0; c < p; c++) {
                    cross[c] += wx * y[c];
                }
            }
        }
        for (int a = 0; a < q; a++) {
            for (int b = 0; b < a; b++) {
                xx[b][a] = xx[a][b];
            }
            // A little ridge, for columns that say the same.
            xx[a][a] += a == 0 ? 1e-9 : 1e-3;
        }
        RealMatrix solved = new CholeskyDecomposition(new Array2DRowRealMatrix(xx, false), 1e-9, 0)
                .getSolver()
                .solve(new Array2DRowRealMatrix(xy, false));
        return solved.transpose().getData();
    }

    private static double[] times(double[][] matrix, double[] vector) {
        double[] product = new double[matrix.length];
        for (int a = 0; a < product.length; a++) {
            double sum = 0;
            double[] row = matrix[a];
            for (int b = 0; b < vector.length; b++) {
                sum += row[b] * vector[b];
            }
            product[a] = sum;
        }
        return product;
    }

    private static double weightOf(double freedom, double squaredDistance, int p) {
        return (freedom + p) / (freedom + squaredDistance);
    }

    // Coordinates in which the soil's own part has variance 1 and both parts are uncorrelated: the own part from
    // neighbours' differences. False where a column scatters so little against the others that there are none.
    private boolean coordinates(double[][] residual, int[] used) {
        double[][] differences = new double[used.length][];
        int pairs = 0;
        for (int k = 1; k < used.length; k++) {
            int i = used[k];
            int last = used[k - 1];
            if (sequenceStart[i] == sequenceStart[last] && i - last <= 2) {
                double[] difference = new double[p];
                for (int c = 0; c < p; c++) {
                    difference[c] = (residual[i][c] - residual[last][c]) / Math.sqrt(2);
                }
                differences[pairs++] = difference;
            }
        }
        double[][] all = new double[used.length][];
        for (int k = 0; k < used.length; k++) {
            all[k] = residual[used[k]];
        }
        double[][] whole = scatter(all);
        double[][] ownScatter = pairs < FEWEST ? whole : scatter(Arrays.copyOf(differences, pairs));
        if (!isPositive(whole, whole) || !isPositive(ownScatter, whole)) {
            return false;
        }
        double[][] root = inverseRoot(ownScatter);
        RealMatrix l = new Array2DRowRealMatrix(root, false);
        double[][] symmetric = l.multiply(new Array2DRowRealMatrix(whole, false))
                .multiply(l.transpose())
                .getData();
        for (int a = 0; a < p; a++) {
            for (int b = 0; b < a; b++) {
                symmetric[a][b] = symmetric[b][a] = (symmetric[a][b] + symmetric[b][a]) / 2;
            }
        }
        EigenDecompositionSymmetric eigen = new EigenDecompositionSymmetric(new Array2DRowRealMatrix(symmetric, false));
        toCoordinates = eigen.getV().transpose().multiply(l).getData();
        fromCoordinates = new Array2DRowRealMatrix(inverseOfLower(root), false)
                .multiply(eigen.getV())
                .getData();
        signal = new double[p];
        double logDeterminant = 0;
        for (int c = 0; c < p; c++) {
            signal[c] = Math.max(eigen.getEigenvalue(c) - 1, 0.02);
            logDeterminant += Math.log(root[c][c]);
        }
        constant = logDeterminant;
        return true;
    }

    // Whether every column has a variance that a computer can tell from nothing beside the whole one.
    private static boolean isPositive(double[][] scatter, double[][] whole) {
        for (int c = 0; c < scatter.length; c++) {
            boolean finite = true;
            for (double value : scatter[c]) {
                finite &= Double.isFinite(value);
            }
            if (!finite || !(scatter[c][c] > LEAST_SHARE * whole[c][c]) || !(scatter[c][c] > LEAST_VARIANCE)) {
                return false;
            }
        }
        return true;
    }

    // Robust scatter about nought: maximum likelihood of a t distribution.
    private double[][] scatter(double[][] rows) {
        double[] weight = new double[rows.length];
        Arrays.fill(weight, 1);
        double[][] scatter = new double[p][p];
        for (int round = 0; round < ROUNDS; round++) {
            scatter = new double[p][p];
            for (int i = 0; i < rows.length; i++) {
                addSquare(scatter, rows[i], weight[i] / rows.length);
            }
            double[][] root = inverseRoot(scatter);
            for (int i = 0; i < rows.length; i++) {
                weight[i] = weightOf(LEARNING_FREEDOM, squaredDistance(root, rows[i]), p);
            }
        }
        return scatter;
    }

    private static void addSquare(double[][] sum, double[] r, double weight) {
        for (int a = 0; a < r.length; a++) {
            double wr = weight * r[a];
            double[] row = sum[a];
            for (int b = 0; b < r.length; b++) {
                row[b] += wr * r[b];
            }
        }
    }

    // How much of the likeness is the client's for good, and how fast the rest fades along the sheet: slowly within
    // what the client
    // calls one field, at once or slowly from one field to the next. The day tells.
    private void likeness(double[][] residual, int[] used) {
        double[][] clipped = new double[residual.length][];
        double whole = -(double) p;
        for (int i : used) {
            clipped[i] = clipped(residual[i]);
            for (double u : clipped[i]) {
                whole += u * u / used.length;
            }
        }
        whole = Math.max(whole, 0.02 * p);
        Lags same = new Lags();
        Lags other = new Lags();
        for (int i : used) {
            for (int lag = 1; lag < Lags.MOST && i + lag <= sequenceEnd[i]; lag++) {
                double[] there = clipped[i + lag];
                if (there != null) {
                    (field(i) == field(i + lag) ? same : other).add(lag, clipped[i], there);
                }
            }
        }
        namesTell = same.counts[1] > 0.2 * used.length && other.counts[1] > 0.02 * used.length;
        if (!namesTell) {
            same.take(other);
        }
        Lags far = namesTell ? other : same;
        clientShare = far.share(namesTell ? 3 : 14, whole);
        decay = same.decay(clientShare, whole);
        across = namesTell ? other.decay(clientShare, whole) : decay;
    }

    private int field(int row) {
        return table.field()[row];
    }

    private double fade(int row, int before) {
        return namesTell && field(row) != field(before) ? across : decay;
    }

    /** Sums of products of soils so many places apart. */
    private static final class Lags {
        static final int MOST = 25;
        private static final int NEAR = 10;
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

    private double[] clipped(double[] residual) {
        double[] u = inCoordinates(residual);
        for (int c = 0; c < u.length; c++) {
            double most = 3 * Math.sqrt(1 + signal[c]);
            u[c] = Math.max(-most, Math.min(most, u[c]));
        }
        return u;
    }

    // Where a reading that belongs to no soil of the day's would lie: anywhere among the day's readings.
    private void population(int[] used) {
        centre = new double[p];
        double[][] about = new double[used.length][p];
        for (int c = 0; c < p; c++) {
            double[] sorted = new double[used.length];
            for (int k = 0; k < used.length; k++) {
                sorted[k] = table.values()[used[k]][own[c]];
            }
            Arrays.sort(sorted);
            centre[c] = sorted[sorted.length / 2];
            for (int k = 0; k < used.length; k++) {
                about[k][c] = table.values()[used[k]][own[c]] - centre[c];
            }
        }
        wholeRoot = inverseRoot(scatter(about));
        wholeConstant = tConstant(LEARNING_FREEDOM, p);
        for (int c = 0; c < p; c++) {
            wholeConstant += Math.log(wholeRoot[c][c]);
        }
    }

    private static double tConstant(double freedom, int p) {
        return Gamma.logGamma((freedom + p) / 2) - Gamma.logGamma(freedom / 2) - p / 2.0 * Math.log(freedom * Math.PI);
    }

    // The width and the degrees of freedom under which the day's own forecasts did best; then every state once.
    private void settle() {
        if (!speaks()) {
            return;
        }
        int n = table.soils();
        double[] distance = new double[n];
        double keptFreedom = freedom;
        double keptSpread = spread;
        freedom = LEARNING_FREEDOM;
        spread = 1;
        widening = new double[n];
        Arrays.fill(widening, 1);
        filterAll(distance);
        int[] seen = new int[n];
        int count = 0;
        for (int i = 0; i < n; i++) {
            if (isForetold(i)) {
                seen[count++] = i;
            }
        }
        if (count < fewestToSettle) {
            freedom = keptFreedom;
            spread = keptSpread;
        } else {
            likeliestSpread(distance, seen, count);
        }
        widen(distance);
        if (count >= fewestToSettle) {
            likeliestSpread(distance, seen, count);
        }
        filterAll(distance);
        widen(distance);
        together = new double[n];
        for (int start = 0; start < n; start = sequenceEnd[start] + 1) {
            double sum = 0;
            for (int i = start; i <= sequenceEnd[start]; i++) {
                inPlace[i] = under(i, widening[i]);
                sum += inPlace[i];
            }
            Arrays.fill(together, start, sequenceEnd[start] + 1, sum);
        }
        if (plain != null) {
            plain.settle();
        }
    }

    // Of readings in their places, whether their client's soils follow no other's relations.
    private boolean followsNone(int row) {
        return plain != null
                && speaks()
                && plain.speaks()
                && plain.together[row] + LOG_FOLLOWS_NONE > together[row] + LOG_FOLLOWS;
    }

    private boolean isForetold(int row) {
        return knownMean[row] == null && foretold[row] != null && readable[row] && !nothing[row];
    }

    private void likeliestSpread(double[] distance, int[] seen, int all) {
        int every = 1 + all / MOST_LEARNT;
        int count = (all + every - 1) / every;
        double[] kept = new double[count];
        for (int k = 0; k < count; k++) {
            kept[k] = distance[seen[k * every]] / widening[seen[k * every]];
        }
        double best = Double.NEGATIVE_INFINITY;
        for (double nu : FREEDOMS) {
            double scale = 1;
            for (int round = 0; round < 25; round++) {
                double sum = 0;
                for (double one : kept) {
                    sum += weightOf(nu, one / scale, p) * one;
                }
                double next = Math.max(1e-6, sum / (count * (double) p));
                boolean still = Math.abs(next / scale - 1) < 1e-4;
                scale = next;
                if (still) {
                    break;
                }
            }
            double fit = count * (tConstant(nu, p) - p / 2.0 * Math.log(scale));
            for (double one : kept) {
                fit -= (nu + p) / 2 * Math.log1p(one / scale / nu);
            }
            if (fit > best) {
                best = fit;
                freedom = nu;
                spread = scale;
            }
        }
    }

    // A client whose soils follow other relations than most fits them less well, all of it: its readings must not look
    // exchanged for that. Each client's squared distances are brought to the scale of the day, with a prior of so many
    // soils that lie on
    // it; none is made narrower.
    private void widen(double[] distance) {
        contribution = new double[table.soils()];
        for (int start = 0; start < table.soils(); start = sequenceEnd[start] + 1) {
            double wider = 1;
            for (int round = 0; round < WIDENING_ROUNDS; round++) {
                double sum = 0;
                int count = 0;
                for (int i = start; i <= sequenceEnd[start]; i++) {
                    if (isForetold(i)) {
                        double scaled = distance[i] / spread;
                        contribution[i] = weightOf(freedom, scaled / wider, p) * scaled / p;
                        sum += contribution[i];
                        count++;
                    }
                }
                wider = Math.max(1, (PRIOR_SOILS + sum) / (PRIOR_SOILS + count));
            }
            Arrays.fill(widening, start, sequenceEnd[start] + 1, wider);
        }
    }

    // The same of a client's other soils, where these are half of them or more.
    private double widenedWithout(int[] soils, int from, int to) {
        int start = sequenceStart[soils[from]];
        double sum = 0;
        int count = 0;
        for (int i = start; i <= sequenceEnd[start]; i++) {
            if (isForetold(i)) {
                sum += contribution[i];
                count++;
            }
        }
        int left = count;
        for (int k = from; k < to; k++) {
            if (isForetold(soils[k])) {
                sum -= contribution[soils[k]];
                left--;
            }
        }
        return 2 * left < count ? widening[start] : Math.max(1, (PRIOR_SOILS + sum) / (PRIOR_SOILS + left));
    }

    // The density of a row's reading in its place, had its client been so much wider.
    private double under(int row, double wider) {
        double wide = spread * wider;
        return isForetold(row)
                ? constant
                        + tConstantNow()
                        - 0.5 * (logProduct[row] + p * Math.log(wide))
                        - (freedom + p) / 2 * Math.log1p(inDistance[row] / wide / freedom)
                : inPlace[row];
    }

    private void filterAll(double[] distance) {
        int n = table.soils();
        states = new double[n][];
        inPlace = new double[n];
        trust = new double[n];
        inDistance = distance;
        logProduct = new double[n];
        Arrays.fill(trust, 1);
        double[] state = new double[5 * p];
        for (int i = 0; i < n; i++) {
            if (i == sequenceStart[i]) {
                start(state);
            }
            if (!rows.get(i)) {
                continue;
            }
            states[i] = state.clone();
            inPlace[i] = step(state, i, i, widening[i], distance);
        }
    }

    private void start(double[] state) {
        for (int c = 0; c < p; c++) {
            state[5 * c] = 0;
            state[5 * c + 1] = 0;
            state[5 * c + 2] = clientShare * signal[c];
            state[5 * c + 3] = (1 - clientShare) * signal[c];
            state[5 * c + 4] = 0;
        }
    }

    // One soil on: the likelihood of the reading at a row under the soil, and the state after it. A reading of -1 was
    // not made.
    private double step(double[] state, int soil, int reading, double wider, double @Nullable [] distances) {
        if (knownMean[soil] != null) {
            return reading < 0 ? 0 : nothing[reading] ? LOG_FLAWED : ofKnown(soil, reading);
        }
        if (foretold[soil] == null) {
            return 0;
        }
        advance(state, soil);
        if (reading < 0) {
            return 0;
        }
        if (nothing[reading]) {
            return LOG_FLAWED;
        }
        if (!readable[reading]) {
            return 0;
        }
        return take(state, soil, offset(reading, soil), wider, distances);
    }

    // Moves the state to a soil's place.
    private void advance(double[] state, int soil) {
        double fade = soil == sequenceStart[soil] ? 1 : fade(soil, before(soil));
        double remain = fade * fade;
        for (int c = 0; c < p; c++) {
            int at = 5 * c;
            state[at + 1] *= fade;
            state[at + 3] = remain * state[at + 3] + (1 - remain) * (1 - clientShare) * signal[c];
            state[at + 4] *= fade;
        }
    }

    // Learns from an offset at a soil's place; returns its likelihood.
    private double take(double[] state, int soil, double[] u, double wider, double @Nullable [] distances) {
        double distance = 0;
        double product = 1;
        for (int c = 0; c < p; c++) {
            int at = 5 * c;
            u[c] -= state[at] + state[at + 1];
            double variance = state[at + 2] + 2 * state[at + 4] + state[at + 3] + 1;
            distance += u[c] * u[c] / variance;
            product *= variance;
        }
        double log = Math.log(product);
        if (distances != null) {
            distances[soil] = distance;
            logProduct[soil] = log;
        }
        double wide = spread * wider;
        distance /= wide;
        double density = constant
                + tConstantNow()
                - 0.5 * (log + p * Math.log(wide))
                - (freedom + p) / 2 * Math.log1p(distance / freedom);
        double weight = Math.min(1, weightOf(freedom, distance, p));
        if (distances != null) {
            trust[soil] = weight;
        }
        for (int c = 0; c < p; c++) {
            // A reading far from its forecast moves the state less, as if its own part were wider.
            int at = 5 * c;
            double toClient = state[at + 2] + state[at + 4];
            double toField = state[at + 4] + state[at + 3];
            double total = toClient + toField + 1 / weight;
            double gainClient = toClient / total;
            double gainField = toField / total;
            state[at] += gainClient * u[c];
            state[at + 1] += gainField * u[c];
            state[at + 2] -= gainClient * toClient;
            state[at + 4] -= gainClient * toField;
            state[at + 3] -= gainField * toField;
        }
        return density;
    }

    // The soil before: controls have no field and stand for nobody.
    private int before(int soil) {
        int row = soil - 1;
        while (row > sequenceStart[soil] && table.client()[row] < 0) {
            row--;
        }
        return row;
    }

    private double cachedFreedom;
    private double cachedConstant;

    private double tConstantNow() {
        if (cachedFreedom != freedom) {
            cachedFreedom = freedom;
            cachedConstant = tConstant(freedom, p);
        }
        return cachedConstant;
    }

    private double ofKnown(int soil, int reading) {
        double distance = 0;
        double logScale = 0;
        for (int c = 0; c < p; c++) {
            double z = (table.values()[reading][own[c]] - knownMean[soil][c]) / knownSd[soil][c];
            if (!Double.isFinite(z)) {
                return 0;
            }
            distance += z * z;
            logScale -= Math.log(knownSd[soil][c]);
        }
        return tConstant(LEARNING_FREEDOM, p)
                + logScale
                - (LEARNING_FREEDOM + p) / 2 * Math.log1p(distance / LEARNING_FREEDOM);
    }

    private double[] offset(int reading, int soil) {
        double[] off = new double[p];
        for (int c = 0; c < p; c++) {
            off[c] = table.values()[reading][own[c]] - foretold[soil][c];
        }
        return inCoordinates(off);
    }

    /** A difference of the method's results, in the order of its columns, in the coordinates of {@link #differences}. */
    public double[] inCoordinates(double[] difference) {
        return times(toCoordinates, difference);
    }

    /** The other way round. */
    public double[] inColumns(double[] coordinates) {
        return times(fromCoordinates, coordinates);
    }

    /** The model's covariance of what is left of two rows' readings in one coordinate, the soil's own part included. */
    double covariance(int coordinate, int one, int other) {
        if (sequenceStart[one] != sequenceStart[other]) {
            return 0;
        }
        double fade = 1;
        for (int row = Math.min(one, other) + 1; row <= Math.max(one, other); row++) {
            fade *= fade(row, row - 1);
        }
        double shared = signal[coordinate] * (clientShare + (1 - clientShare) * fade);
        return spread * widening[one] * (shared + (one == other ? 1 : 0));
    }

    /** What is left of a row's reading, in coordinates, before its neighbours are looked at. */
    double[] left(int row) {
        return offset(row, row);
    }

    double freedom() {
        return freedom;
    }

    /** Standard deviations of columns from variances of coordinates. */
    public double[] sdInColumns(double[] variance) {
        double[] sd = new double[p];
        for (int j = 0; j < p; j++) {
            double sum = 0;
            for (int c = 0; c < p; c++) {
                sum += fromCoordinates[j][c] * fromCoordinates[j][c] * variance[c];
            }
            sd[j] = Math.sqrt(sum);
        }
        return sd;
    }

    /** How likely the reading recorded at a row is under the soil of that row, natural logarithm of the density; 0 when nothing was learnt. */
    public double likelihood(int row) {
        if (!speaks()) {
            return 0;
        }
        return followsNone(row) && plain != null ? plain.inPlace[row] : inPlace[row];
    }

    /** The middle of the likelihoods of the day's readings under their soils; 0 when nothing was learnt. */
    public double ordinaryLikelihood() {
        double[] sorted =
                Arrays.stream(inPlace).filter(each -> each != 0).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[sorted.length / 2];
    }

    /** A quick look: whether two rows' readings could belong to each other's soils. False only where exchanging them helps nowhere. */
    public boolean mayHaveExchanged(int one, int other) {
        if (!speaksOf(one) || !speaksOf(other) || !readable[one] || !readable[other]) {
            return false;
        }
        boolean apart = namesTell && field(one) != field(other) || client(one) != client(other);
        if (knownMean[one] != null || knownMean[other] != null || apart) {
            return true;
        }
        // Both are near each other in one sequence: what is forecast for both cancels, and only their own relations
        // decide.
        double[] read = new double[p];
        double[] foreseen = new double[p];
        for (int c = 0; c < p; c++) {
            read[c] = table.values()[one][own[c]] - table.values()[other][own[c]];
            foreseen[c] = foretold[one][c] - foretold[other][c];
        }
        double[] u = inCoordinates(read);
        double[] f = inCoordinates(foreseen);
        double gain = 0;
        for (int c = 0; c < p; c++) {
            gain -= u[c] * f[c] / (spread * widening[one]);
        }
        return gain > (namesTell ? 1 : -3);
    }

    private int client(int row) {
        return table.client()[row];
    }

    /** How likely the reading recorded at a row is when it belongs to no soil in question: to another one, or to an empty vessel. */
    double stray(int row) {
        if (nothing[row]) {
            return LOG_HALF;
        }
        return readable[row] ? LOG_HALF + logSum(empty(row), somebody(row)) : 0;
    }

    private double empty(int row) {
        if (vessel.emptyMean().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double density = 0;
        for (int c = 0; c < p; c++) {
            double sd = vessel.emptySd()[c];
            double z = (table.values()[row][own[c]] - vessel.emptyMean()[c]) / sd;
            density -= 0.5 * z * z + Math.log(sd) + 0.5 * Math.log(2 * Math.PI);
        }
        return density;
    }

    private double somebody(int row) {
        double[] about = new double[p];
        for (int c = 0; c < p; c++) {
            about[c] = table.values()[row][own[c]] - centre[c];
        }
        return wholeConstant
                - (LEARNING_FREEDOM + p) / 2 * Math.log1p(squaredDistance(wholeRoot, about) / LEARNING_FREEDOM);
    }

    private static double logSum(double one, double other) {
        double larger = Math.max(one, other);
        return larger + Math.log(Math.exp(one - larger) + Math.exp(other - larger));
    }

    /**
     * How much likelier a run's readings are when those of a stretch are all off in one way, natural logarithm.
     *
     * @param run rows in the order they were read
     * @param from index in {@code run} of the first reading that is off
     * @param length how many are
     * @param after readings after the stretch, whose forecasts it disturbs, to be counted too
     * @param hopeless the gain below which longer stretches are not looked at
     * @param right gives a reading's right value in the table's units, for the method's only column
     * @return for each length of the stretch from 1 up to {@code length + after}, or to where it became hopeless, the gain so far
     */
    public double[] gainWhenRighted(
            int[] run, int from, int length, int after, double hopeless, DoubleUnaryOperator right) {
        if (p != 1) {
            throw new IllegalArgumentException("a stretch is looked for in one column, found " + p);
        }
        double[] gain = new double[Math.min(length + after, run.length - from)];
        double sum = 0;
        double[] state = new double[5];
        int done = -1;
        for (int k = 0; k < gain.length; k++) {
            int soil = run[from + k];
            Agreement model = followsNone(soil) && plain != null ? plain : this;
            double[] before = model.states[soil];
            if (before != null && (done < sequenceStart[soil] || k == 0)) {
                System.arraycopy(before, 0, state, 0, state.length);
            }
            done = soil;
            if (readable[soil] && !nothing[soil]) {
                double read = table.values()[soil][own[0]];
                double value = k < length ? right.applyAsDouble(read) : read;
                if (knownMean[soil] != null) {
                    sum += tOfKnown((value - knownMean[soil][0]) / knownSd[soil][0])
                            - tOfKnown((read - knownMean[soil][0]) / knownSd[soil][0]);
                } else if (foretold[soil] != null) {
                    model.advance(state, soil);
                    double[] off = model.inCoordinates(new double[] {value - model.foretold[soil][0]});
                    sum += model.take(state, soil, off, model.widening[soil], null) - model.inPlace[soil];
                }
            }
            gain[k] = sum;
            if (sum < hopeless) {
                return Arrays.copyOf(gain, k + 1);
            }
        }
        return gain;
    }

    /** Natural logarithm of the density of a control soil so many standard deviations off, up to a constant. */
    public static double tOfKnown(double z) {
        return -(LEARNING_FREEDOM + 1) / 2 * Math.log1p(z * z / LEARNING_FREEDOM);
    }

    /** How likely the reading recorded at a row is when it is of a well that was to stay empty. */
    double ofEmptyWell(int row) {
        if (nothing[row]) {
            return Math.log1p(-FILLED);
        }
        return readable[row] ? logSum(Math.log1p(-FILLED) + empty(row), Math.log(FILLED) + somebody(row)) : 0;
    }

    /** How likely the reading at a row is when it is of the soil whose reading is at another row, taken once more. */
    double twice(int row, int before) {
        if (!readable[row] || !readable[before] || vessel.repeatSd().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double distance = 0;
        double logScale = 0;
        for (int c = 0; c < p; c++) {
            double sd = Math.sqrt(2) * vessel.repeatSd()[c];
            double z = (table.values()[row][own[c]] - table.values()[before][own[c]]) / sd;
            distance += z * z;
            logScale -= Math.log(sd);
        }
        return tConstant(LEARNING_FREEDOM, p)
                + logScale
                - (LEARNING_FREEDOM + p) / 2 * Math.log1p(distance / LEARNING_FREEDOM);
    }

    /**
     * How much likelier the readings are when some soils' readings are recorded elsewhere, natural logarithm, with the effect on the
     * forecasts of the few soils after them. Readings that then belong to nobody are strays.
     *
     * @param soils rows in question, rising; their readings are those recorded at these rows
     * @param readingOf for each soil's row the row at which its reading is recorded; -1 = it was not read
     */
    public double logRatio(int[] soils, IntUnaryOperator readingOf) {
        if (!speaks()) {
            return 0;
        }
        double sum = 0;
        int i = 0;
        while (i < soils.length) {
            int from = i;
            while (i < soils.length && soils[i] <= sequenceEnd[soils[from]]) {
                i++;
            }
            double gain = gain(soils, from, i, readingOf, widenedWithout(soils, from, i));
            if (plain != null && plain.speaks()) {
                // A client's soils follow the relations or do not, whichever way its readings lie.
                double gainAlone = plain.gain(soils, from, i, readingOf, plain.widenedWithout(soils, from, i));
                double follows = LOG_FOLLOWS + together[soils[from]];
                double alone = LOG_FOLLOWS_NONE + plain.together[soils[from]];
                sum += logSum(follows + gain, alone + gainAlone) - logSum(follows, alone);
            } else {
                sum += gain;
            }
        }
        return sum + strays(soils, readingOf);
    }

    /**
     * {@link #logRatio} to compare places at which one thing may have begun: for soils that follow the relations, with every client's
     * scatter taken from the soils that are in none of the places.
     *
     * @param apart rows that are in question for any of the places, rising
     */
    double logRatioAmongPlaces(int[] soils, IntUnaryOperator readingOf, int[] apart) {
        double sum = strays(soils, readingOf);
        int out = 0;
        int i = 0;
        while (i < soils.length) {
            int from = i;
            int end = sequenceEnd[soils[from]];
            while (i < soils.length && soils[i] <= end) {
                i++;
            }
            while (out < apart.length && apart[out] < sequenceStart[soils[from]]) {
                out++;
            }
            int outFrom = out;
            while (out < apart.length && apart[out] <= end) {
                out++;
            }
            sum += gain(soils, from, i, readingOf, widenedWithout(apart, outFrom, out));
        }
        return sum;
    }

    // Readings that then belong to nobody.
    private double strays(int[] soils, IntUnaryOperator readingOf) {
        int[] taken = new int[soils.length];
        for (int k = 0; k < soils.length; k++) {
            taken[k] = readingOf.applyAsInt(soils[k]);
        }
        Arrays.sort(taken);
        double sum = 0;
        for (int soil : soils) {
            if (Arrays.binarySearch(taken, soil) < 0) {
                sum += stray(soil);
            }
        }
        return sum;
    }

    // What one client's soils gain.
    private double gain(int[] soils, int from, int to, IntUnaryOperator readingOf, double wider) {
        int first = soils[from];
        double[] before = states[first];
        if (before == null) {
            return 0;
        }
        double[] state = before.clone();
        double sum = 0;
        int end = Math.min(sequenceEnd[first], soils[to - 1] + AFTER);
        for (int soil = first; soil <= end; soil++) {
            sum += step(state, soil, readingOf.applyAsInt(soil), wider, null) - under(soil, wider);
        }
        return sum;
    }

    /** Of each row how likely its soil's reading is when every reading of a run is that of its neighbour in the run, from the client's first soil on. */
    double[] shifted(int[] run, int by) {
        double[] likely = new double[run.length];
        int[] readingOf = new int[table.soils()];
        Arrays.setAll(readingOf, i -> i);
        for (int k = 0; k < run.length; k++) {
            int at = k - by;
            readingOf[run[k]] = at < 0 || at >= run.length ? -1 : run[at];
        }
        double[] state = new double[5 * p];
        int done = -1;
        for (int k = 0; k < run.length; k++) {
            int soil = run[k];
            if (done < sequenceStart[soil]) {
                start(state);
                done = sequenceStart[soil] - 1;
            }
            for (int row = done + 1; row < soil; row++) {
                step(state, row, readingOf[row], widening[row], null);
            }
            likely[k] = step(state, soil, readingOf[soil], widening[soil], null);
            done = soil;
        }
        return likely;
    }

    /**
     * What was read of one soil against its forecast from every other soil and its own results by other methods, in coordinates in
     * which the differences are uncorrelated.
     *
     * @param difference read minus forecast, one for each coordinate
     * @param variance of each, the soil's own part included
     * @param freedom degrees of freedom of the t density the differences follow
     */
    public record Difference(double[] difference, double[] variance, double freedom) {
        /** Sum of squares of the differences over their variances. */
        public double squaredDistance() {
            double whole = 0;
            for (int c = 0; c < difference.length; c++) {
                whole += difference[c] * difference[c] / variance[c];
            }
            return whole;
        }

        /**
         * The multiple of a direction that explains the difference best, by generalised least squares.
         *
         * @param direction in the same coordinates, see {@link Agreement#inCoordinates}
         */
        public Along along(double[] direction) {
            double cross = 0;
            double square = 0;
            for (int c = 0; c < difference.length; c++) {
                cross += direction[c] * difference[c] / variance[c];
                square += direction[c] * direction[c] / variance[c];
            }
            double whole = squaredDistance();
            double explained = cross * cross / square;
            double rest = Math.max(0, whole - explained);
            double p = difference.length;
            double ratio = (freedom + p) / 2 * Math.log((freedom + whole) / (freedom + rest));
            return new Along(cross / square, 1 / Math.sqrt(square), ratio, rest);
        }
    }

    /**
     * How far a difference goes along a direction.
     *
     * @param multiple of the direction
     * @param sd of that multiple
     * @param logRatio likelihood of the best multiple over that of nought, natural logarithm
     * @param rest squared distance that is left
     */
    public record Along(double multiple, double sd, double logRatio, double rest) {}

    /**
     * How far groups of soils lie apart, beyond what their clients, fields and other results make of them: generalised least squares
     * over the same filter (Harvey 1989, section 3.4: a regression whose errors a filter makes independent).
     *
     * @param groupOf for each row its group, 0 and up; negative = none
     * @param groups how many groups
     */
    public Effects effects(int[] groupOf, int groups) {
        double[][] off = new double[groupOf.length][];
        for (int i = 0; speaks() && i < off.length; i++) {
            if (foretold[i] != null && readable[i] && !nothing[i] && knownMean[i] == null && groupOf[i] >= 0) {
                off[i] = offset(i, i);
            }
        }
        double[][][] covariance = new double[p][][];
        double[][] size = new double[p][];
        IntStream.range(0, speaks() ? p : 0).parallel().forEach(c -> {
            double[][] normal = new double[groups][groups];
            double[] right = new double[groups];
            equations(c, groupOf, off, normal, right);
            double[][] root = inverseRoot(normal);
            covariance[c] = new double[groups][groups];
            for (int g = 0; g < groups; g++) {
                for (int h = 0; h < groups; h++) {
                    for (int k = Math.max(g, h); k < groups; k++) {
                        covariance[c][g][h] += root[k][g] * root[k][h];
                    }
                }
            }
            size[c] = times(covariance[c], right);
        });
        return new Effects(size, covariance, fromCoordinates);
    }

    // The normal equations of the groups' effects in one coordinate.
    private void equations(int c, int[] groupOf, @Nullable double[][] off, double[][] normal, double[] right) {
        int groups = right.length;
        double[] field = new double[groups + 1];
        double[] client = new double[groups + 1];
        double[] row = new double[groups + 1];
        double vClient = 0;
        double vField = 0;
        double vBoth = 0;
        int last = -1;
        for (int i = 0; i < groupOf.length; i++) {
            if (i == sequenceStart[i]) {
                Arrays.fill(client, 0);
                Arrays.fill(field, 0);
                vClient = clientShare * signal[c];
                vField = (1 - clientShare) * signal[c];
                vBoth = 0;
                last = -1;
            }
            double[] seen = off[i];
            if (seen == null) {
                continue;
            }
            if (last >= 0) {
                double fade = fade(i, last);
                for (int g = 0; g <= groups; g++) {
                    field[g] *= fade;
                }
                vField = fade * fade * vField + (1 - fade * fade) * (1 - clientShare) * signal[c];
                vBoth *= fade;
            }
            last = i;
            double toClient = vClient + vBoth;
            double toField = vBoth + vField;
            double weight = trust[i];
            double total = toClient + toField + 1 / weight;
            for (int g = 0; g <= groups; g++) {
                double value = g == groups ? seen[c] : g == groupOf[i] ? 1 : 0;
                row[g] = value - client[g] - field[g];
                client[g] += toClient / total * row[g];
                field[g] += toField / total * row[g];
            }
            vClient -= toClient / total * toClient;
            vBoth -= toClient / total * toField;
            vField -= toField / total * toField;
            double information = 1 / (total * spread * widening[i]);
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

    /** Effects of groups in coordinates, with what {@link #contrast} needs to state them in columns. */
    public record Effects(double[][] size, double[][][] covariance, double[][] toColumns) {
        /**
         * A contrast between groups.
         *
         * @param of for each group its coefficient; they add up to nought
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
    }

    /**
     * How far groups lie apart.
     *
     * @param size one for each of the method's columns, in the table's units
     * @param sd standard deviation of each
     */
    public record Contrast(double[] size, double[] sd) {}

    /**
     * The difference of every soil from what all others foretell: a Kalman filter from each side (Fraser and Potter 1969, IEEE Trans.
     * Automatic Control 14:387).
     *
     * @return one for each row; null where nothing can be said
     */
    public @Nullable Difference[] differences() {
        int n = table.soils();
        @Nullable Difference[] all = new Difference[n];
        for (int start = 0; start < n; start = sequenceEnd[start] + 1) {
            if (table.client()[start] >= 0 && speaks()) {
                bothSides(start, sequenceEnd[start], all);
            }
        }
        return all;
    }

    /**
     * The difference of one soil had its results by other methods been others.
     *
     * @param difference as found with the results it has
     * @param values a whole row of the table
     */
    public Difference withOthers(int row, Difference difference, double[] values) {
        double[] foreseen = times(coefficients, features(values));
        double[] change = new double[p];
        for (int c = 0; c < p; c++) {
            change[c] = foretold[row][c] - foreseen[c];
        }
        double[] u = inCoordinates(change);
        for (int c = 0; c < p; c++) {
            u[c] += difference.difference()[c];
        }
        return new Difference(u, difference.variance(), difference.freedom());
    }

    private void bothSides(int start, int end, @Nullable Difference[] all) {
        int n = end - start + 1;
        double[][] u = new double[n][];
        for (int i = 0; i < n; i++) {
            int row = start + i;
            boolean seen = foretold[row] != null && readable[row] && knownMean[row] == null && !nothing[row];
            u[i] = seen ? offset(row, row) : new double[0];
            if (seen) {
                all[row] = new Difference(new double[p], new double[p], freedom);
            }
        }
        for (int c = 0; c < p; c++) {
            double[][] before = oneSide(u, start, c, 1);
            double[][] after = oneSide(u, start, c, -1);
            double prior = 1 / (clientShare * signal[c]);
            double priorField = 1 / ((1 - clientShare) * signal[c]);
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
                known.variance()[c] = spread * widening[start] * (v11 + 2 * v12 + v22 + 1);
            }
        }
    }

    // For each place the information vector and matrix (h1, h2, j11, j12, j22) about its state from the places on one
    // side of it.
    private double[][] oneSide(double[][] u, int start, int c, int step) {
        int n = u.length;
        double[][] information = new double[n][];
        double client = 0;
        double field = 0;
        double vClient = clientShare * signal[c];
        double vField = (1 - clientShare) * signal[c];
        double vBoth = 0;
        int last = step > 0 ? start : start + n - 1;
        for (int k = 0; k < n; k++) {
            int i = step > 0 ? k : n - 1 - k;
            if (k > 0 && table.client()[start + i] >= 0) {
                double fade = fade(start + i, last);
                field *= fade;
                vField = fade * fade * vField + (1 - fade * fade) * (1 - clientShare) * signal[c];
                vBoth *= fade;
            }
            if (table.client()[start + i] >= 0) {
                last = start + i;
            }
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
            double variance = vClient + 2 * vBoth + vField + 1;
            double trust =
                    Math.min(1, weightOf(freedom, innovation * innovation / variance / (spread * widening[start]), 1));
            double total = variance - 1 + 1 / trust;
            double toClient = vClient + vBoth;
            double toField = vBoth + vField;
            client += toClient / total * innovation;
            field += toField / total * innovation;
            double gainClient = toClient / total;
            double gainField = toField / total;
            vClient -= gainClient * toClient;
            vBoth -= gainClient * toField;
            vField -= gainField * toField;
        }
        return information;
    }

    // Lower triangle of the inverse of the Cholesky factor.
    private static double[][] inverseRoot(double[][] covariance) {
        int p = covariance.length;
        double[][] l = new double[p][p];
        for (int i = 0; i < p; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = covariance[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= l[i][k] * l[j][k];
                }
                l[i][j] =
                        i == j ? Math.sqrt(Math.max(sum, 1e-10 * Math.abs(covariance[i][i]) + 1e-300)) : sum / l[j][j];
            }
        }
        return inverseOfLower(l);
    }

    private static double[][] inverseOfLower(double[][] l) {
        int p = l.length;
        double[][] inverse = new double[p][p];
        for (int i = 0; i < p; i++) {
            inverse[i][i] = 1 / l[i][i];
            for (int j = 0; j < i; j++) {
                double sum = 0;
                for (int k = j; k < i; k++) {
                    sum += l[i][k] * inverse[k][j];
                }
                inverse[i][j] = -sum / l[i][i];
            }
        }
        return inverse;
    }

    private static double squaredDistance(double[][] inverseRoot, double[] r) {
        double sum = 0;
        for (int i = 0; i < r.length; i++) {
            double z = 0;
            double[] row = inverseRoot[i];
            for (int j = 0; j <= i; j++) {
                z += row[j] * r[j];
            }
            sum += z * z;
        }
        return sum;
    }
}
