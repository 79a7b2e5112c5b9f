package org.tenmesh.core.agreement;

import java.util.Arrays;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.EigenDecompositionSymmetric;
import org.hipparchus.linear.RealMatrix;

/**
 * Learns {@link Relations}: a multivariate t regression by expectation and maximisation, the coordinates in which what is left is
 * uncorrelated, and how alike soils of one client and of one field are.
 */
final class RelationsFit {
    private static final int ROUNDS = 8;
    /** How much wider than the soils of one field the day is taken to be before anything is known (the first round only). */
    private static final double FIRST_SIGNAL = 8;

    private static final double FIRST_DECAY = 0.9;
    /** Of the variance of a column, what neighbours' differences must leave: a guard of the arithmetic, a thousandth of its standard deviation. */
    private static final double LEAST_SHARE = 1e-6;
    /** Least variance on the scale of the table, pH or natural logarithms of contents: a guard of the arithmetic, beyond the digits of any reading. */
    private static final double LEAST_VARIANCE = 1e-12;

    /** Soils that tell how the other columns scatter, and rounds of finding it: more change only the time it takes. */
    private static final int SOILS_FOR_SCATTER = 1000;

    private static final int ROUNDS_FOR_SCATTER = 4;
    /** Variance added to each of the other columns, in squares of their robust standard deviation. */
    private static final double LEAST_SCATTER = 0.01;

    private final Assumed assumed;
    private final SoilTable table;
    private final Sequences sequences;
    private final int[] own;
    private final int[] others;
    private final int p;
    private final double[] middle;
    private final double[] scale;
    private double[][] unlikeness = new double[0][];
    private double[][] coefficients = new double[0][];
    private double[][] toCoordinates = new double[0][];
    private double[][] fromCoordinates = new double[0][];
    private double[] signal = new double[0];
    private double groups;
    private double clientShare;
    private double decay;
    private double across;
    private boolean namesTell;
    private double constant;

    private RelationsFit(Assumed assumed, SoilTable table, int[] own, int[] others) {
        this.assumed = assumed;
        this.table = table;
        this.own = own.clone();
        this.others = others.clone();
        sequences = Sequences.of(table);
        p = own.length;
        middle = new double[others.length];
        scale = new double[others.length];
    }

    /** The relations of a method's columns to others; not fitted where there are too few soils or a column has no usable variance. */
    static Relations of(Assumed assumed, SoilTable table, int[] own, int[] others) {
        return new RelationsFit(assumed, table, own, others).fit();
    }

    /** Relations to nothing, not fitted. */
    static Relations none(Assumed assumed, SoilTable table, int[] own) {
        return new RelationsFit(assumed, table, own, new int[0]).relations(0, StrayDensity.NONE);
    }

    private Relations fit() {
        double[][] features = features();
        int[] used = used(features);
        boolean enough = p > 0 && used.length >= Math.max(assumed.leastSoils(), 3 * (1 + 2 * others.length));
        if (!enough || isWithoutVariance(used)) {
            return relations(used.length, StrayDensity.NONE);
        }
        unlikeness = unlikeness(used);
        for (int round = 0; round < 2; round++) {
            double[][] residual = regress(features, used);
            if (!coordinates(residual, used)) {
                signal = new double[0];
                return relations(used.length, StrayDensity.NONE);
            }
            likeness(residual, used);
        }
        groups = groups(used);
        return relations(used.length, population(used));
    }

    // How many independent groups the signal was learnt from: of a sum of two variances (Satterthwaite 1946, Biometrics
    // Bull. 2:110), the clients' and the fields'.
    private double groups(int[] used) {
        int clients = 0;
        int fields = 0;
        for (int k = 0; k < used.length; k++) {
            boolean client = k == 0 || sequences.start()[used[k]] != sequences.start()[used[k - 1]];
            clients += client ? 1 : 0;
            fields += client || field(used[k]) != field(used[k - 1]) ? 1 : 0;
        }
        double ofFields = 1 - clientShare;
        return 1 / (clientShare * clientShare / clients + ofFields * ofFields / fields);
    }

    private Relations relations(int learntFrom, StrayDensity outliers) {
        return new Relations(
                own,
                others,
                learntFrom,
                middle,
                scale,
                unlikeness,
                assumed.freedom(),
                coefficients,
                toCoordinates,
                fromCoordinates,
                signal,
                groups,
                constant,
                clientShare,
                decay,
                across,
                namesTell,
                outliers);
    }

    private boolean isRead(int row) {
        for (int column : own) {
            if (!Double.isFinite(table.values()[row][column])) {
                return false;
            }
        }
        return true;
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
            if (SoilTable.mostHoldOneValue(values)) {
                return true;
            }
        }
        return false;
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
            boolean whole = table.client()[i] >= 0;
            for (int column : others) {
                whole &= Double.isFinite(values[column]);
            }
            features[i] = whole ? Relations.features(values, others, middle, scale) : new double[0];
        }
        return features;
    }

    private int[] used(double[][] features) {
        int[] used = new int[features.length];
        int count = 0;
        for (int i = 0; i < features.length; i++) {
            if (features[i].length > 0 && isRead(i)) {
                used[count++] = i;
            }
        }
        int every = 1 + (count - 1) / assumed.mostSoils();
        if (every == 1) {
            return Arrays.copyOf(used, count);
        }
        // Whole sequences, evenly over the day: more soils would change nothing but the time it takes.
        int kept = 0;
        int sequence = -1;
        int last = -1;
        for (int k = 0; k < count; k++) {
            int start = sequences.start()[used[k]];
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
                left[k] = Triangular.times(coefficients, x[k]);
                for (int c = 0; c < p; c++) {
                    left[k][c] = y[k][c] - left[k][c];
                }
                addSquare(scatter, left[k], weight[k] / used.length);
            }
            double[][] root = Triangular.inverseRoot(scatter);
            double most = 0;
            for (int k = 0; k < used.length; k++) {
                double next = TDensity.weight(assumed.freedom(), Triangular.squaredDistance(root, left[k]), p);
                most = Math.max(most, Math.abs(next - weight[k]));
                weight[k] = next;
            }
            if (most < 0.02) {
                break;
            }
        }
        double[][] residual = new double[n][];
        for (int i : used) {
            double[] predicted = Triangular.times(coefficients, features[i]);
            residual[i] = new double[p];
            for (int c = 0; c < p; c++) {
                residual[i][c] = table.values()[i][own[c]] - predicted[c];
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
        double[] variances = new double[FieldFilter.SIZE];
        int last = -1;
        for (int k = 0; k < used.length; k++) {
            int i = used[k];
            if (last < 0 || sequences.start()[i] != sequences.start()[last]) {
                Arrays.fill(clientState, 0);
                Arrays.fill(fieldState, 0);
                FieldFilter.start(variances, 0, share, strength);
            } else {
                double fade = signal.length == 0 ? FIRST_DECAY : fade(i, last);
                fade = i - last > 1 ? Math.pow(fade, i - last) : fade;
                for (int j = 0; j < fieldState.length; j++) {
                    fieldState[j] *= fade;
                }
                FieldFilter.fade(variances, 0, fade, share, strength);
            }
            last = i;
            double toClient = FieldFilter.toClient(variances, 0);
            double toField = FieldFilter.toField(variances, 0);
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
            FieldFilter.narrow(variances, 0, total);
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

    // Coordinates in which the soil's own part has variance 1 and both parts are uncorrelated: the own part from
    // neighbours' differences. False where a column scatters so little against the others that there are none.
    private boolean coordinates(double[][] residual, int[] used) {
        double[][] differences = new double[used.length][];
        int pairs = 0;
        for (int k = 1; k < used.length; k++) {
            int i = used[k];
            int last = used[k - 1];
            if (sequences.start()[i] == sequences.start()[last] && i - last <= 2) {
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
        double[][] ownScatter = pairs < assumed.leastSoils() ? whole : scatter(Arrays.copyOf(differences, pairs));
        if (!isPositive(whole, whole) || !isPositive(ownScatter, whole)) {
            return false;
        }
        double[][] root = Triangular.inverseRoot(ownScatter);
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
        fromCoordinates = new Array2DRowRealMatrix(Triangular.inverseOfLower(root), false)
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

    // A ridge of a tenth of a standard deviation, so that columns that say the same do not make every soil strange.
    private double[][] unlikeness(int[] used) {
        int q = others.length;
        int every = 1 + (used.length - 1) / SOILS_FOR_SCATTER;
        double[][] off = new double[(used.length + every - 1) / every][q];
        for (int k = 0; k < off.length; k++) {
            double[] values = table.values()[used[k * every]];
            for (int j = 0; j < q; j++) {
                off[k][j] = (values[others[j]] - middle[j]) / scale[j];
            }
        }
        double[] weight = new double[off.length];
        Arrays.fill(weight, 1);
        double[][] root = new double[q][q];
        for (int round = 0; round < ROUNDS_FOR_SCATTER; round++) {
            double[][] scatter = new double[q][q];
            for (int k = 0; k < off.length; k++) {
                addLower(scatter, off[k], weight[k] / off.length);
            }
            for (int j = 0; j < q; j++) {
                scatter[j][j] += LEAST_SCATTER;
            }
            root = Triangular.inverseRoot(scatter);
            for (int k = 0; k < off.length; k++) {
                weight[k] = TDensity.weight(assumed.freedom(), Triangular.squaredDistance(root, off[k]), q);
            }
        }
        return root;
    }

    private static void addLower(double[][] sum, double[] r, double weight) {
        for (int a = 0; a < r.length; a++) {
            double wr = weight * r[a];
            double[] row = sum[a];
            for (int b = 0; b <= a; b++) {
                row[b] += wr * r[b];
            }
        }
    }

    // Robust scatter about zero: maximum likelihood of a t distribution.
    private double[][] scatter(double[][] rows) {
        double[] weight = new double[rows.length];
        Arrays.fill(weight, 1);
        double[][] scatter = new double[p][p];
        for (int round = 0; round < ROUNDS; round++) {
            scatter = new double[p][p];
            for (int i = 0; i < rows.length; i++) {
                addSquare(scatter, rows[i], weight[i] / rows.length);
            }
            double[][] root = Triangular.inverseRoot(scatter);
            for (int i = 0; i < rows.length; i++) {
                weight[i] = TDensity.weight(assumed.freedom(), Triangular.squaredDistance(root, rows[i]), p);
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
            for (int lag = 1; lag < Lags.MOST && i + lag <= sequences.end()[i]; lag++) {
                double[] there = clipped[i + lag];
                if (there != null) {
                    (field(i) == field(i + lag) ? same : other).add(lag, clipped[i], there);
                }
            }
        }
        namesTell = same.counts[1] > assumed.fieldsWithin() * used.length
                && other.counts[1] > assumed.fieldsAcross() * used.length;
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

    private double[] clipped(double[] residual) {
        double[] u = Triangular.times(toCoordinates, residual);
        for (int c = 0; c < u.length; c++) {
            double most = 3 * Math.sqrt(1 + signal[c]);
            u[c] = Math.max(-most, Math.min(most, u[c]));
        }
        return u;
    }

    // Where a reading that belongs to no soil of the day's would lie: anywhere among the day's readings.
    private StrayDensity population(int[] used) {
        double[] centre = new double[p];
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
        double[][] wholeRoot = Triangular.inverseRoot(scatter(about));
        double wholeConstant = TDensity.logConstant(assumed.freedom(), p);
        for (int c = 0; c < p; c++) {
            wholeConstant += Math.log(wholeRoot[c][c]);
        }
        return new StrayDensity(centre, wholeRoot, wholeConstant);
    }
}
