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
    /** Soils on the day's own scale that each client is given before its own are looked at (choice). */
    private static final double PRIOR_SOILS = 20;

    private static final int WIDENING_ROUNDS = 3;
    /** Chance that a client's soils follow none of the relations that hold for most (choice). */
    static final double LOG_FOLLOWS_NONE = Math.log(0.05);

    static final double LOG_FOLLOWS = Math.log(0.95);
    /** Soils of a table that scatter widely enough to say how widely. */
    private static final int FEWEST_TO_SETTLE = 200;
    /** Chance that a soil gives no result though it was there. */
    private static final double LOG_FLAWED = Math.log(0.002);

    final SoilTable table;
    final Relations relations;
    private final int fewestToSettle;
    final int[] own;
    final int p;
    private final int[] others;
    private final double[] middle;
    private final double[] scale;
    private final double[][] coefficients;
    private final double[][] toCoordinates;
    final double[][] fromCoordinates;
    final double[] signal;
    final double clientShare;
    final boolean namesTell;
    private final double constant;
    final StrayDensity outliers;
    /** Rows that are spoken of. */
    private final BitSet rows;

    private final Sequences sequences;
    final int[] sequenceStart;
    final int[] sequenceEnd;
    final double[][] predicted;
    final boolean[] readable;
    final @Nullable double[][] knownMean;
    final @Nullable double[][] knownSd;
    final boolean[] nothing;
    final Vessel vessel;
    /** The same method without relations to others: what is left to say of a client whose soils follow none of the day's. */
    final @Nullable Agreement plain;

    double freedom = TDensity.LEARNING_FREEDOM;
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

    /** What is known of the soils and vessels of a table, beside its values. */
    private record Stated(
            @Nullable double[][] mean, @Nullable double[][] sd, Vessel vessel, boolean[] nothing) {}

    private Agreement(
            Relations relations,
            StrayDensity outliers,
            SoilTable table,
            Sequences sequences,
            BitSet rows,
            Stated stated,
            int fewestToSettle,
            @Nullable Agreement plain) {
        this.table = table;
        this.relations = relations;
        this.outliers = outliers;
        this.sequences = sequences;
        this.rows = rows;
        this.fewestToSettle = fewestToSettle;
        this.plain = plain;
        own = relations.own();
        others = relations.others();
        p = own.length;
        middle = relations.middle();
        scale = relations.scale();
        coefficients = relations.coefficients();
        toCoordinates = relations.toCoordinates();
        fromCoordinates = relations.fromCoordinates();
        signal = relations.signal();
        clientShare = relations.clientShare();
        namesTell = relations.namesTell();
        constant = relations.constant();
        sequenceStart = sequences.start();
        sequenceEnd = sequences.end();
        knownMean = stated.mean();
        knownSd = stated.sd();
        nothing = stated.nothing().clone();
        vessel = stated.vessel();
        int n = table.soils();
        readable = new boolean[n];
        predicted = new double[n][];
        for (int row = 0; row < n; row++) {
            predict(row);
        }
    }

    /** The same on another table that holds the same. */
    private Agreement(Agreement other, SoilTable table) {
        this.table = table;
        relations = other.relations;
        outliers = other.outliers;
        sequences = other.sequences;
        rows = other.rows;
        fewestToSettle = other.fewestToSettle;
        plain = other.plain == null ? null : other.plain.on(table);
        own = other.own;
        others = other.others;
        p = other.p;
        middle = other.middle;
        scale = other.scale;
        coefficients = other.coefficients;
        toCoordinates = other.toCoordinates;
        fromCoordinates = other.fromCoordinates;
        signal = other.signal;
        clientShare = other.clientShare;
        namesTell = other.namesTell;
        constant = other.constant;
        sequenceStart = other.sequenceStart;
        sequenceEnd = other.sequenceEnd;
        knownMean = other.knownMean;
        knownSd = other.knownSd;
        nothing = other.nothing;
        vessel = other.vessel;
        readable = other.readable;
        predicted = other.predicted;
        takeOver(other);
    }

    private void takeOver(Agreement other) {
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
        return same.values() == table.values() ? this : new Agreement(this, same);
    }

    private void predict(int row) {
        double[] values = table.values()[row];
        boolean whole = rows.get(row) && table.client()[row] >= 0;
        for (int column : others) {
            whole &= Double.isFinite(values[column]);
        }
        readable[row] = true;
        for (int column : own) {
            readable[row] &= Double.isFinite(values[column]);
        }
        if (whole && isFitted()) {
            predicted[row] = Triangular.times(coefficients, Relations.features(values, others, middle, scale));
        }
    }

    /**
     * Learns how a method's results follow from the others.
     *
     * @param own columns of the method
     * @param others columns of the other methods
     * @return nothing can be learnt from fewer than {@link SoilTable#FEWEST_TO_LEARN} soils that have all of both: then {@link #isFitted()} is false
     */
    public static Agreement learn(SoilTable table, int[] own, int[] others) {
        int n = table.soils();
        return learn(
                table,
                own,
                others,
                new KnownControls(new double[n][], new double[n][]),
                new Vessel(new double[0], new double[0], new double[0]),
                new boolean[n]);
    }

    /**
     * Learns the same with control soils stated and vessels without soil recognised.
     *
     * @param readNothing for each row whether a reading was made that no soil gives
     */
    public static Agreement learn(
            SoilTable table, int[] own, int[] others, KnownControls known, Vessel vessel, boolean[] readNothing) {
        Stated stated = new Stated(known.mean(), known.sd(), vessel, readNothing);
        Sequences sequences = Sequences.of(table);
        Agreement alone = others.length == 0 ? null : learnt(table, sequences, own, new int[0], stated, null);
        Agreement learnt = learnt(table, sequences, own, others, stated, alone);
        learnt.settle();
        return learnt;
    }

    private static Agreement learnt(
            SoilTable table, Sequences sequences, int[] own, int[] others, Stated stated, @Nullable Agreement plain) {
        BitSet all = new BitSet(table.soils());
        all.set(0, table.soils());
        Relations relations = RelationsFit.of(table, own, others);
        return new Agreement(relations, relations.outliers(), table, sequences, all, stated, 0, plain);
    }

    /** The relations that were learnt, on the table with readings moved since: a few soils put right change no relation. */
    public Agreement refit(boolean[] readNothing) {
        Agreement again = moved(readNothing, plain == null ? null : plain.moved(readNothing, null));
        again.settle();
        return again;
    }

    private Agreement moved(boolean[] readNothing, @Nullable Agreement itsPlain) {
        Agreement again = new Agreement(
                relations,
                outliers,
                table,
                sequences,
                rows,
                new Stated(knownMean, knownSd, vessel, readNothing),
                fewestToSettle,
                itsPlain);
        again.freedom(freedom);
        again.spread = spread;
        return again;
    }

    /**
     * The relations that were learnt, for the soils of another table with the same columns. Its own soils say how widely they scatter when
     * they are 200 or more; else those it was learnt from do, with a little added for what learning takes away.
     *
     * @param of the rows that are spoken of
     */
    public Agreement appliedTo(SoilTable other, BitSet of, KnownControls known, Vessel kept, boolean[] readNothing) {
        Stated stated = new Stated(known.mean(), known.sd(), kept, readNothing);
        Sequences itsSequences = Sequences.of(other);
        Agreement copy = copyFor(
                other,
                itsSequences,
                of,
                stated,
                plain == null ? null : plain.copyFor(other, itsSequences, of, stated, null));
        copy.settle();
        return copy;
    }

    private Agreement copyFor(
            SoilTable other, Sequences itsSequences, BitSet of, Stated stated, @Nullable Agreement itsPlain) {
        Agreement copy =
                new Agreement(relations, outliers, other, itsSequences, of, stated, FEWEST_TO_SETTLE, itsPlain);
        copy.freedom(freedom);
        copy.spread = spread;
        double features = 1 + 2.0 * others.length;
        int from = relations.learntFrom();
        copy.spread *= from > features ? from / (from - features) : 1;
        return copy;
    }

    /** A copy that looks for readings of no soil in question among all soils that another agreement was learnt from. */
    public Agreement strayDensityFrom(Agreement everybody) {
        Agreement copy = new Agreement(
                relations,
                everybody.outliers,
                table,
                sequences,
                rows,
                new Stated(knownMean, knownSd, vessel, nothing),
                fewestToSettle,
                plain);
        copy.takeOver(this);
        return copy;
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
        return isFitted() && (predicted[row] != null || knownMean[row] != null);
    }

    /** Columns of the other methods that it was learnt from. */
    public int[] others() {
        return others.clone();
    }

    int field(int row) {
        return table.field()[row];
    }

    double fade(int row, int before) {
        return namesTell && field(row) != field(before) ? relations.across() : relations.decay();
    }

    // The width and the degrees of freedom under which the day's own forecasts did best; then every state once.
    private void settle() {
        if (!isFitted()) {
            return;
        }
        int n = table.soils();
        double[] distance = new double[n];
        double keptFreedom = freedom;
        double keptSpread = spread;
        freedom(TDensity.LEARNING_FREEDOM);
        spread = 1;
        widening = new double[n];
        Arrays.fill(widening, 1);
        filterAll(distance);
        int[] seen = new int[n];
        int count = 0;
        for (int i = 0; i < n; i++) {
            if (isPredicted(i)) {
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
    boolean followsNone(int row) {
        return plain != null
                && isFitted()
                && plain.isFitted()
                && plain.together[row] + LOG_FOLLOWS_NONE > together[row] + LOG_FOLLOWS;
    }

    private void likeliestSpread(double[] distance, int[] seen, int all) {
        int every = 1 + all / RelationsFit.MOST_LEARNT;
        double[] kept = new double[(all + every - 1) / every];
        for (int k = 0; k < kept.length; k++) {
            kept[k] = distance[seen[k * every]] / widening[seen[k * every]];
        }
        TDensity.likeliest(kept, p).ifPresent(width -> {
            freedom(width.freedom());
            spread = width.scale();
        });
    }

    private boolean isPredicted(int row) {
        return knownMean[row] == null && predicted[row] != null && readable[row] && !nothing[row];
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
                    if (isPredicted(i)) {
                        double scaled = distance[i] / spread;
                        contribution[i] = TDensity.weight(freedom, scaled / wider, p) * scaled / p;
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
    double widenedWithout(int[] soils, int from, int to) {
        int start = sequenceStart[soils[from]];
        double sum = 0;
        int count = 0;
        for (int i = start; i <= sequenceEnd[start]; i++) {
            if (isPredicted(i)) {
                sum += contribution[i];
                count++;
            }
        }
        int left = count;
        for (int k = from; k < to; k++) {
            if (isPredicted(soils[k])) {
                sum -= contribution[soils[k]];
                left--;
            }
        }
        return 2 * left < count ? widening[start] : Math.max(1, (PRIOR_SOILS + sum) / (PRIOR_SOILS + left));
    }

    // The density of a row's reading in its place, had its client been so much wider.
    double under(int row, double wider) {
        double wide = spread * wider;
        return isPredicted(row)
                ? constant
                        + densityConstant
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
        double[] state = new double[FieldFilter.SIZE * p];
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

    void start(double[] state) {
        for (int c = 0; c < p; c++) {
            FieldFilter.start(state, FieldFilter.SIZE * c, clientShare, signal[c]);
        }
    }

    // One soil on: the likelihood of the reading at a row under the soil, and the state after it. A reading of -1 was
    // not made.
    double step(double[] state, int soil, int reading, double wider, double @Nullable [] distances) {
        if (knownMean[soil] != null) {
            return reading < 0
                    ? 0
                    : nothing[reading]
                            ? LOG_FLAWED
                            : KnownControls.logDensity(table.values()[reading], own, knownMean[soil], knownSd[soil]);
        }
        if (predicted[soil] == null) {
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
    void advance(double[] state, int soil) {
        double fade = soil == sequenceStart[soil] ? 1 : fade(soil, before(soil));
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
            double total = FieldFilter.toClient(state, at) + FieldFilter.toField(state, at) + 1 / weight;
            FieldFilter.learn(state, at, u[c], total);
        }
        return density;
    }

    // The soil before: controls belong to no client or field and are skipped.
    private int before(int soil) {
        int row = soil - 1;
        while (row > sequenceStart[soil] && table.client()[row] < 0) {
            row--;
        }
        return row;
    }

    double[] offset(int reading, int soil) {
        double[] off = new double[p];
        for (int c = 0; c < p; c++) {
            off[c] = table.values()[reading][own[c]] - predicted[soil][c];
        }
        return inCoordinates(off);
    }

    /** A difference of the method's results, in the order of its columns, in the coordinates of {@link #differences}. */
    public double[] inCoordinates(double[] difference) {
        return Triangular.times(toCoordinates, difference);
    }

    /** The other way round. */
    public double[] inColumns(double[] coordinates) {
        return Triangular.times(fromCoordinates, coordinates);
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
        return relations.sdInColumns(variance);
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
        double[] predictedNow = Triangular.times(coefficients, Relations.features(values, others, middle, scale));
        double[] change = new double[p];
        for (int c = 0; c < p; c++) {
            change[c] = predicted[row][c] - predictedNow[c];
        }
        double[] u = inCoordinates(change);
        for (int c = 0; c < p; c++) {
            u[c] += difference.difference()[c];
        }
        return new Difference(u, difference.variance(), difference.freedom());
    }
}
