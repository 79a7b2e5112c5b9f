package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntUnaryOperator;

/** How much likelier a method's readings are when some of them belong to other soils than recorded, or are off in one way. */
public final class Hypotheses {
    /** Soils after the last one in question whose forecasts still depend on it: more change only the time it takes. */
    private static final int AFTER = 8;

    /** Of two possibilities neither is the likelier before anything is read. */
    private static final double LOG_HALF = Math.log(0.5);

    private final Agreement its;

    private Hypotheses(Agreement its) {
        this.its = its;
    }

    /** What some readings of a method would be worth under other soils. */
    public static Hypotheses of(Agreement agreement) {
        return new Hypotheses(agreement);
    }

    /** A quick look: whether two rows' readings could belong to each other's soils. False only where exchanging them helps nowhere. */
    public boolean mayHaveExchanged(int one, int other) {
        if (!its.predicts(one) || !its.predicts(other) || !its.soils.readable[one] || !its.soils.readable[other]) {
            return false;
        }
        boolean apart = its.soils.relations.namesTell() && its.soils.field(one) != its.soils.field(other)
                || client(one) != client(other);
        if (its.soils.knownMean[one] != null || its.soils.knownMean[other] != null || apart) {
            return true;
        }
        // Both are near each other in one sequence: what is forecast for both cancels, and only their own relations
        // decide.
        double[] read = new double[its.p];
        double[] predictedNow = new double[its.p];
        for (int c = 0; c < its.p; c++) {
            read[c] = its.soils.read(one, c) - its.soils.read(other, c);
            predictedNow[c] = its.soils.predicted[one][c] - its.soils.predicted[other][c];
        }
        double[] u = its.inCoordinates(read);
        double[] f = its.inCoordinates(predictedNow);
        double gain = 0;
        for (int c = 0; c < its.p; c++) {
            gain -= u[c] * f[c] / (its.spread * its.widening[one]);
        }
        return gain > (its.soils.relations.namesTell() ? 1 : -3);
    }

    private int client(int row) {
        return its.soils.client(row);
    }

    /** How likely the reading recorded at a row is when it belongs to no soil in question: to another one, or to an empty vessel. */
    double outlier(int row) {
        if (its.soils.nothing[row]) {
            return LOG_HALF;
        }
        return its.soils.readable[row] ? LOG_HALF + logSum(empty(row), somebody(row)) : 0;
    }

    private double empty(int row) {
        if (its.soils.stated.vessel().emptyMean().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double density = 0;
        for (int c = 0; c < its.p; c++) {
            double sd = its.soils.stated.vessel().emptySd()[c];
            double z = (its.soils.read(row, c) - its.soils.stated.vessel().emptyMean()[c]) / sd;
            density -= 0.5 * z * z + Math.log(sd) + 0.5 * Math.log(2 * Math.PI);
        }
        return density;
    }

    private double somebody(int row) {
        double freedom = its.soils.assumed.freedom();
        double[] about = new double[its.p];
        for (int c = 0; c < its.p; c++) {
            about[c] = its.soils.read(row, c) - its.outliers.centre()[c];
        }
        return its.outliers.constant()
                - (freedom + its.p) / 2 * Math.log1p(Triangular.squaredDistance(its.outliers.root(), about) / freedom);
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
        if (its.p != 1) {
            throw new IllegalArgumentException("a stretch is looked for in one column, found " + its.p);
        }
        double[] gain = new double[Math.min(length + after, run.length - from)];
        double sum = 0;
        double[] state = new double[FieldFilter.SIZE];
        int done = -1;
        for (int k = 0; k < gain.length; k++) {
            int soil = run[from + k];
            Agreement model = its.followsNone(soil) && its.plain != null ? its.plain : its;
            double[] before = model.states[soil];
            if (before != null && (done < its.soils.sequenceStart[soil] || k == 0)) {
                System.arraycopy(before, 0, state, 0, state.length);
            }
            done = soil;
            if (its.soils.readable[soil] && !its.soils.nothing[soil]) {
                double read = its.soils.read(soil, 0);
                double value = k < length ? right.applyAsDouble(read) : read;
                if (its.soils.knownMean[soil] != null) {
                    sum += KnownControls.tOfKnown(
                                    (value - its.soils.knownMean[soil][0]) / its.soils.knownSd[soil][0],
                                    its.soils.assumed.freedom())
                            - KnownControls.tOfKnown(
                                    (read - its.soils.knownMean[soil][0]) / its.soils.knownSd[soil][0],
                                    its.soils.assumed.freedom());
                } else if (its.soils.predicted[soil] != null) {
                    model.advance(state, soil);
                    double[] off = model.inCoordinates(new double[] {value - model.soils.predicted[soil][0]});
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

    /** How likely the reading recorded at a row is when it is of a well that was to stay empty. */
    double ofEmptyWell(int row) {
        double filled = its.soils.assumed.keyWellFilled();
        if (its.soils.nothing[row]) {
            return Math.log1p(-filled);
        }
        return its.soils.readable[row] ? logSum(Math.log1p(-filled) + empty(row), Math.log(filled) + somebody(row)) : 0;
    }

    /** How likely the reading at a row is when it is of the soil whose reading is at another row, taken once more. */
    double twice(int row, int before) {
        if (!its.soils.readable[row]
                || !its.soils.readable[before]
                || its.soils.stated.vessel().repeatSd().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double distance = 0;
        double logScale = 0;
        for (int c = 0; c < its.p; c++) {
            double sd = Math.sqrt(2) * its.soils.stated.vessel().repeatSd()[c];
            double z = (its.soils.read(row, c) - its.soils.read(before, c)) / sd;
            distance += z * z;
            logScale -= Math.log(sd);
        }
        double freedom = its.soils.assumed.freedom();
        return TDensity.logConstant(freedom, its.p) + logScale - (freedom + its.p) / 2 * Math.log1p(distance / freedom);
    }

    /**
     * How much likelier the readings are when some soils' readings are recorded elsewhere, natural logarithm, with the effect on the
     * forecasts of the few soils after them. Readings that then belong to nobody are outliers.
     *
     * @param soils rows in question, rising; their readings are those recorded at these rows
     * @param readingOf for each soil's row the row at which its reading is recorded; -1 = it was not read
     */
    public double logRatio(int[] soils, IntUnaryOperator readingOf) {
        if (!its.isFitted()) {
            return 0;
        }
        double sum = 0;
        int i = 0;
        while (i < soils.length) {
            int from = i;
            while (i < soils.length && soils[i] <= its.soils.sequenceEnd[soils[from]]) {
                i++;
            }
            double gain = gain(soils, from, i, readingOf, its.widenedWithout(soils, from, i));
            if (its.plain != null && its.plain.isFitted()) {
                // A client's soils follow the relations or do not, whichever way its readings lie.
                double gainAlone =
                        of(its.plain).gain(soils, from, i, readingOf, its.plain.widenedWithout(soils, from, i));
                double follows = its.soils.assumed.logFollows() + its.together[soils[from]];
                double alone = its.soils.assumed.logFollowsNone() + its.plain.together[soils[from]];
                sum += logSum(follows + gain, alone + gainAlone) - logSum(follows, alone);
            } else {
                sum += gain;
            }
        }
        return sum + outliers(soils, readingOf);
    }

    /**
     * {@link #logRatio} to compare places at which one thing may have begun: for soils that follow the relations, with every client's
     * scatter taken from the soils that are in none of the places.
     *
     * @param apart rows that are in question for any of the places, rising
     */
    double logRatioAmongPlaces(int[] soils, IntUnaryOperator readingOf, int[] apart) {
        double sum = outliers(soils, readingOf);
        int out = 0;
        int i = 0;
        while (i < soils.length) {
            int from = i;
            int end = its.soils.sequenceEnd[soils[from]];
            while (i < soils.length && soils[i] <= end) {
                i++;
            }
            while (out < apart.length && apart[out] < its.soils.sequenceStart[soils[from]]) {
                out++;
            }
            int outFrom = out;
            while (out < apart.length && apart[out] <= end) {
                out++;
            }
            sum += gain(soils, from, i, readingOf, its.widenedWithout(apart, outFrom, out));
        }
        return sum;
    }

    // Readings that then belong to nobody.
    private double outliers(int[] soils, IntUnaryOperator readingOf) {
        int[] taken = new int[soils.length];
        for (int k = 0; k < soils.length; k++) {
            taken[k] = readingOf.applyAsInt(soils[k]);
        }
        Arrays.sort(taken);
        double sum = 0;
        for (int soil : soils) {
            if (Arrays.binarySearch(taken, soil) < 0) {
                sum += outlier(soil);
            }
        }
        return sum;
    }

    // What one client's soils gain.
    private double gain(int[] soils, int from, int to, IntUnaryOperator readingOf, double wider) {
        int first = soils[from];
        double[] before = its.states[first];
        if (before == null) {
            return 0;
        }
        double[] state = before.clone();
        double sum = 0;
        int end = Math.min(its.soils.sequenceEnd[first], soils[to - 1] + AFTER);
        for (int soil = first; soil <= end; soil++) {
            sum += its.step(state, soil, readingOf.applyAsInt(soil), wider, null) - its.under(soil, wider);
        }
        return sum;
    }

    /**
     * Of each row how likely its soil's reading is when every reading of a run is recorded at another place of it, from the client's first soil
     * on.
     *
     * @param placeOf for each place of the run the place at which its soil's reading is recorded; outside the run = it was not read
     */
    double[] reordered(int[] run, IntUnaryOperator placeOf) {
        double[] likely = new double[run.length];
        int[] readingOf = new int[its.soils.soils()];
        Arrays.setAll(readingOf, i -> i);
        for (int k = 0; k < run.length; k++) {
            int at = placeOf.applyAsInt(k);
            readingOf[run[k]] = at < 0 || at >= run.length ? -1 : run[at];
        }
        double[] state = new double[FieldFilter.SIZE * its.p];
        int done = -1;
        for (int k = 0; k < run.length; k++) {
            int soil = run[k];
            if (done < its.soils.sequenceStart[soil]) {
                its.start(state);
                done = its.soils.sequenceStart[soil] - 1;
            }
            for (int row = done + 1; row < soil; row++) {
                its.step(state, row, readingOf[row], its.widening[row], null);
            }
            likely[k] = its.step(state, soil, readingOf[soil], its.widening[soil], null);
            done = soil;
        }
        return likely;
    }
}
