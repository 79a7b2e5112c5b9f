package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/**
 * How likely the readings of one method are, given the soils' results by other methods and the order in which clients sent their soils.
 *
 * <p>The method's results are regressed on the others and their squares: a multivariate t regression by expectation and
 * maximisation (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881), so that outlying soils get little weight. What is
 * left is alike among soils of one client, more so among neighbours on its sheet, because they come from one field: in coordinates in
 * which both kinds of likeness are uncorrelated it is a constant of the client, plus a first-order autoregression along the sheet,
 * plus what is the soil's own. A Kalman filter (Harvey 1989, Forecasting, Structural Time Series Models and the Kalman Filter,
 * chapter 3) forecasts each soil from those before it; the density of what was read is a t density around the forecast, whose
 * width and degrees of freedom are the likeliest for the day itself.
 *
 * <p>Rows are those of a {@link SoilTable}. Every likelihood is a natural logarithm of a density in the units of the table, so
 * that hypotheses which give the same readings to different soils can be compared.
 *
 * <p>Nothing changes once a factory method has returned it.
 */
public final class Agreement {
    private static final int WIDENING_ROUNDS = 3;

    final Predictions soils;
    final int p;
    final double[] signal;
    final double clientShare;
    final StrayDensity outliers;
    private final double constant;
    private final int fewestToSettle;
    private final double logNoResult;
    /** The same method without relations to others: what is left to say of a client whose soils follow none of the day's. */
    final @Nullable Agreement plain;

    double freedom;
    private double densityConstant;
    double spread = 1;
    /** Before each row: client's constant, field's state and their variances, for every coordinate. */
    @Nullable
    double[][] states = new double[0][];
    /** For each row the sum of the likelihoods of its client's readings in their places. */
    double[] together = new double[0];
    /** For each row by how much its client's soils scatter more widely than the day's. */
    double[] widening = new double[0];
    /** What each row adds to that. */
    private double[] contribution = new double[0];
    /** Squared distance of each reading from its forecast and logarithm of the forecast's variances, before the spread. */
    private double[] inDistance = new double[0];

    private double[] logProduct = new double[0];
    double[] inPlace = new double[0];
    double[] trust = new double[0];

    private Agreement(Predictions soils, StrayDensity outliers, int fewestToSettle, @Nullable Agreement plain) {
        this.soils = soils;
        this.outliers = outliers;
        this.fewestToSettle = fewestToSettle;
        this.plain = plain;
        p = soils.p;
        signal = soils.relations.signal();
        clientShare = soils.relations.clientShare();
        constant = soils.relations.constant();
        logNoResult = Math.log(soils.assumed.noResult());
        freedom = soils.assumed.freedom();
    }

    /** With the same states; what is under them is the same. */
    private Agreement(Agreement other, Predictions soils, StrayDensity outliers, @Nullable Agreement plain) {
        this(soils, outliers, other.fewestToSettle, plain);
        freedom(other.freedom);
        spread = other.spread;
        states = other.states;
        together = other.together;
        widening = other.widening;
        contribution = other.contribution;
        inDistance = other.inDistance;
        logProduct = other.logProduct;
        inPlace = other.inPlace;
        trust = other.trust;
    }

    /**
     * The same agreement on another table that holds the same in every column of the method and of the others, for the same clients and
     * fields: nothing is learnt again.
     */
    public Agreement on(SoilTable same) {
        return same.values() == soils.table.values()
                ? this
                : new Agreement(this, soils.on(same), outliers, plain == null ? null : plain.on(same));
    }

    /**
     * Learns how a method's results follow from the others.
     *
     * @param own columns of the method
     * @param others columns of the other methods
     * @return nothing can be learnt from fewer than {@link Assumed#leastSoils()} soils that have all of both: then {@link #isFitted()} is
     *     false
     */
    public static Agreement learn(Assumed assumed, SoilTable table, int[] own, int[] others) {
        int n = table.soils();
        return learn(
                assumed,
                table,
                own,
                others,
                new KnownControls(new double[n][], new double[n][]),
                new Vessel(new double[0], new double[0], new double[0]),
                new boolean[n]);
    }

    /** Says nothing of any soil: {@link #isFitted()} is false. */
    public static Agreement ofNothing(Assumed assumed, SoilTable table, int[] own) {
        int n = table.soils();
        BitSet all = new BitSet(n);
        all.set(0, n);
        Predictions.Stated stated = new Predictions.Stated(
                new KnownControls(new double[n][], new double[n][]),
                new Vessel(new double[0], new double[0], new double[0]),
                new boolean[n]);
        Relations none = RelationsFit.none(assumed, table, own);
        return new Agreement(
                new Predictions(assumed, none, table, Sequences.of(table), all, stated), none.outliers(), 0, null);
    }

    /**
     * Learns the same with control soils stated and vessels without soil recognised.
     *
     * @param readNothing for each row whether a reading was made that no soil gives
     */
    public static Agreement learn(
            Assumed assumed,
            SoilTable table,
            int[] own,
            int[] others,
            KnownControls known,
            Vessel vessel,
            boolean[] readNothing) {
        Predictions.Stated stated = new Predictions.Stated(known, vessel, readNothing);
        Sequences sequences = Sequences.of(table);
        Agreement alone = others.length == 0 ? null : learnt(assumed, table, sequences, own, new int[0], stated, null);
        return learnt(assumed, table, sequences, own, others, stated, alone);
    }

    /**
     * Learns the same where the method without relations to others has been learnt.
     *
     * @param alone the same method, table and soils with no columns of others
     */
    public static Agreement learn(Agreement alone, SoilTable table, int[] others) {
        Predictions its = alone.soils;
        return others.length == 0
                ? alone
                : learnt(its.assumed, table, Sequences.of(table), its.own, others, its.stated, alone.on(table));
    }

    private static Agreement learnt(
            Assumed assumed,
            SoilTable table,
            Sequences sequences,
            int[] own,
            int[] others,
            Predictions.Stated stated,
            @Nullable Agreement plain) {
        BitSet all = new BitSet(table.soils());
        all.set(0, table.soils());
        Relations relations = RelationsFit.of(assumed, table, own, others);
        Agreement learnt = new Agreement(
                new Predictions(assumed, relations, table, sequences, all, stated), relations.outliers(), 0, plain);
        learnt.settle();
        return learnt;
    }

    /** The relations that were learnt, on the table with readings moved since: a few soils put right change no relation. */
    public Agreement refit(boolean[] readNothing) {
        return moved(readNothing, plain == null ? null : plain.moved(readNothing, null));
    }

    private Agreement moved(boolean[] readNothing, @Nullable Agreement itsPlain) {
        Agreement again = new Agreement(soils.again(readNothing), outliers, fewestToSettle, itsPlain);
        again.freedom(freedom);
        again.spread = spread;
        again.settle();
        return again;
    }

    /**
     * The relations that were learnt, for the soils of another table with the same columns. Its own soils say how widely they scatter when
     * they are {@link Assumed#ownScatter()} or more; else those it was learnt from do, wider by what learning takes away: {@code n / (n - q - p - 1)}
     * for {@code q} features and {@code p} columns (mean of an inverse Wishart density), with the tails of {@link Relations#freedomForOthers}.
     *
     * @param of the rows that are spoken of
     */
    public Agreement appliedTo(SoilTable other, BitSet of, KnownControls known, Vessel kept, boolean[] readNothing) {
        Predictions.Stated stated = new Predictions.Stated(known, kept, readNothing);
        Sequences its = Sequences.of(other);
        return copyFor(other, its, of, stated, plain == null ? null : plain.copyFor(other, its, of, stated, null));
    }

    private Agreement copyFor(
            SoilTable other, Sequences its, BitSet of, Predictions.Stated stated, @Nullable Agreement itsPlain) {
        Agreement copy = new Agreement(
                new Predictions(soils.assumed, soils.relations.forOthers(), other, its, of, stated),
                outliers,
                soils.assumed.ownScatter(),
                itsPlain);
        copy.freedom(Math.min(freedom, soils.relations.freedomForOthers()));
        copy.spread = spread;
        double features = 1 + 2.0 * soils.relations.others().length + p + 1;
        int from = soils.relations.learntFrom();
        copy.spread *= from > features ? from / (from - features) : 1;
        copy.settle();
        return copy;
    }

    /** A copy that looks for readings of no soil in question among all soils that another agreement was learnt from. */
    public Agreement strayDensityFrom(Agreement everybody) {
        return new Agreement(this, soils, everybody.outliers, plain);
    }

    private void freedom(double degrees) {
        freedom = degrees;
        densityConstant = TDensity.logConstant(degrees, p);
    }

    /** Whether anything was learnt. */
    public boolean isFitted() {
        return signal.length > 0;
    }

    /** Whether anything can be said of a row's soil. */
    public boolean predicts(int row) {
        return isFitted() && (soils.predicted[row] != null || soils.knownMean[row] != null);
    }

    /** Columns of the other methods that it was learnt from. */
    public int[] others() {
        return soils.relations.others().clone();
    }

    // The width and the degrees of freedom under which the day's own forecasts did best; then every state once.
    private void settle() {
        if (!isFitted()) {
            return;
        }
        int n = soils.soils();
        double[] distance = new double[n];
        double keptFreedom = freedom;
        double keptSpread = spread;
        freedom(soils.assumed.freedom());
        spread = 1;
        widening = new double[n];
        Arrays.fill(widening, 1);
        filterAll(distance);
        int[] seen = new int[n];
        int count = 0;
        for (int i = 0; i < n; i++) {
            if (soils.isPredicted(i)) {
                seen[count++] = i;
            }
        }
        if (count < fewestToSettle) {
            freedom(keptFreedom);
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
        for (int start = 0; start < n; start = soils.sequenceEnd[start] + 1) {
            double sum = 0;
            for (int i = start; i <= soils.sequenceEnd[start]; i++) {
                inPlace[i] = under(i, widening[i]);
                sum += inPlace[i];
            }
            Arrays.fill(together, start, soils.sequenceEnd[start] + 1, sum);
        }
    }

    // Of readings in their places, whether their client's soils follow no other's relations.
    boolean followsNone(int row) {
        return plain != null
                && isFitted()
                && plain.isFitted()
                && plain.together[row] + soils.assumed.logFollowsNone() > together[row] + soils.assumed.logFollows();
    }

    private void likeliestSpread(double[] distance, int[] seen, int all) {
        int every = 1 + all / soils.assumed.mostSoils();
        double[] kept = new double[(all + every - 1) / every];
        for (int k = 0; k < kept.length; k++) {
            kept[k] = distance[seen[k * every]] / widening[seen[k * every]];
        }
        TDensity.likeliest(kept, p).ifPresent(width -> {
            freedom(width.freedom());
            spread = width.scale();
        });
    }

    // A client whose soils follow other relations than most fits them less well, all of it: its readings must not look
    // exchanged for that. Each client's squared distances are brought to the scale of the day, with a prior of so many
    // soils that lie on
    // it; none is made narrower.
    private void widen(double[] distance) {
        contribution = new double[soils.soils()];
        for (int start = 0; start < soils.soils(); start = soils.sequenceEnd[start] + 1) {
            double wider = 1;
            for (int round = 0; round < WIDENING_ROUNDS; round++) {
                double sum = 0;
                int count = 0;
                for (int i = start; i <= soils.sequenceEnd[start]; i++) {
                    if (soils.isPredicted(i)) {
                        double scaled = distance[i] / spread;
                        contribution[i] = TDensity.weight(freedom, scaled / wider, p) * scaled / p;
                        sum += contribution[i];
                        count++;
                    }
                }
                wider = Math.max(1, (soils.assumed.clientPrior() + sum) / (soils.assumed.clientPrior() + count));
            }
            Arrays.fill(widening, start, soils.sequenceEnd[start] + 1, wider);
        }
    }

    // The same of a client's other soils, where these are half of them or more.
    double widenedWithout(int[] without, int from, int to) {
        int start = soils.sequenceStart[without[from]];
        double sum = 0;
        int count = 0;
        for (int i = start; i <= soils.sequenceEnd[start]; i++) {
            if (soils.isPredicted(i)) {
                sum += contribution[i];
                count++;
            }
        }
        int left = count;
        for (int k = from; k < to; k++) {
            if (soils.isPredicted(without[k])) {
                sum -= contribution[without[k]];
                left--;
            }
        }
        return 2 * left < count
                ? widening[start]
                : Math.max(1, (soils.assumed.clientPrior() + sum) / (soils.assumed.clientPrior() + left));
    }

    // The density of a row's reading in its place, had its client been so much wider.
    double under(int row, double wider) {
        double wide = spread * wider;
        return soils.isPredicted(row)
                ? constant
                        + densityConstant
                        - 0.5 * (logProduct[row] + p * Math.log(wide))
                        - (freedom + p) / 2 * Math.log1p(inDistance[row] / wide / freedom)
                : inPlace[row];
    }

    private void filterAll(double[] distance) {
        int n = soils.soils();
        states = new double[n][];
        inPlace = new double[n];
        trust = new double[n];
        inDistance = distance;
        logProduct = new double[n];
        Arrays.fill(trust, 1);
        double[] state = new double[FieldFilter.SIZE * p];
        for (int i = 0; i < n; i++) {
            if (i == soils.sequenceStart[i]) {
                start(state);
            }
            if (!soils.speaksOf(i)) {
                continue;
            }
            states[i] = state.clone();
            inPlace[i] = step(state, i, i, widening[i], distance);
        }
    }

    void start(double[] state) {
        for (int c = 0; c < p; c++) {
            FieldFilter.start(state, FieldFilter.SIZE * c, clientShare, signal[c]);
        }
    }

    // One soil on: the likelihood of the reading at a row under the soil, and the state after it. A reading of -1 was
    // not made. Nothing is weighed of a row that is not spoken of: the reading of a control soil there would count for
    // every explanation of the soils before it, and for none that leaves them as they are.
    double step(double[] state, int soil, int reading, double wider, double @Nullable [] distances) {
        if (!soils.speaksOf(soil)) {
            return 0;
        }
        if (soils.knownMean[soil] != null) {
            return reading < 0 ? 0 : soils.nothing[reading] ? logNoResult : soils.knownDensity(reading, soil);
        }
        if (soils.predicted[soil] == null) {
            return 0;
        }
        advance(state, soil);
        if (reading < 0) {
            return 0;
        }
        if (soils.nothing[reading]) {
            return logNoResult;
        }
        if (!soils.readable[reading]) {
            return 0;
        }
        return take(state, soil, soils.offset(reading, soil), wider, distances);
    }

    // Moves the state to a soil's place.
    void advance(double[] state, int soil) {
        double fade = soil == soils.sequenceStart[soil] ? 1 : soils.fade(soil, soils.before(soil));
        for (int c = 0; c < p; c++) {
            FieldFilter.fade(state, FieldFilter.SIZE * c, fade, clientShare, signal[c]);
        }
    }

    // Learns from an offset at a soil's place; returns its likelihood.
    double take(double[] state, int soil, double[] u, double wider, double @Nullable [] distances) {
        double distance = 0;
        double product = 1;
        for (int c = 0; c < p; c++) {
            int at = FieldFilter.SIZE * c;
            u[c] -= state[at] + state[at + 1];
            double variance = state[at + 2] + 2 * state[at + 4] + state[at + 3] + soils.ownWidth[soil];
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
                + densityConstant
                - 0.5 * (log + p * Math.log(wide))
                - (freedom + p) / 2 * Math.log1p(distance / freedom);
        double weight = Math.min(1, TDensity.weight(freedom, distance, p));
        if (distances != null) {
            trust[soil] = weight;
        }
        for (int c = 0; c < p; c++) {
            // A reading far from its forecast moves the state less, as if its own part were wider.
            int at = FieldFilter.SIZE * c;
            double total =
                    FieldFilter.toClient(state, at) + FieldFilter.toField(state, at) + soils.ownWidth[soil] / weight;
            FieldFilter.learn(state, at, u[c], total);
        }
        return density;
    }

    /** A difference of the method's results, in the order of its columns, in the coordinates of {@link #differences}. */
    public double[] inCoordinates(double[] difference) {
        return Triangular.times(soils.relations.toCoordinates(), difference);
    }

    /** The other way round. */
    public double[] inColumns(double[] coordinates) {
        return Triangular.times(soils.relations.fromCoordinates(), coordinates);
    }

    /** The model's covariance of what is left of two rows' readings in one coordinate, the soil's own part included. */
    double covariance(int coordinate, int one, int other) {
        if (soils.sequenceStart[one] != soils.sequenceStart[other]) {
            return 0;
        }
        double fade = 1;
        for (int row = Math.min(one, other) + 1; row <= Math.max(one, other); row++) {
            fade *= soils.fade(row, row - 1);
        }
        double shared = signal[coordinate] * (clientShare + (1 - clientShare) * fade);
        return spread * widening[one] * (shared + (one == other ? soils.ownWidth[one] : 0));
    }

    /** What is left of a row's reading, in coordinates, before its neighbours are looked at. */
    double[] left(int row) {
        return soils.offset(row, row);
    }

    double freedom() {
        return freedom;
    }

    /** Standard deviations of columns from variances of coordinates. */
    public double[] sdInColumns(double[] variance) {
        return soils.relations.sdInColumns(variance);
    }

    /** How likely the reading recorded at a row is under the soil of that row, natural logarithm of the density; 0 when nothing was learnt. */
    public double likelihood(int row) {
        if (!isFitted()) {
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

    /**
     * The difference of one soil had its results by other methods been others.
     *
     * @param difference as found with the results it has
     * @param values a whole row of the table
     */
    public Difference withOthers(int row, Difference difference, double[] values) {
        double[] u = soils.changeWith(row, values);
        for (int c = 0; c < p; c++) {
            u[c] += difference.difference()[c];
        }
        return new Difference(u, difference.variance(), difference.freedom());
    }
}
