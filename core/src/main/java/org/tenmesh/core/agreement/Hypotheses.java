package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntUnaryOperator;

/** How much likelier a method's readings are when some of them belong to other soils than recorded, or are off in one way. */
public final class Hypotheses {
    /** Soils after the last one in question whose forecasts still depend on it. */
    private static final int AFTER = 8;

    private static final double LOG_HALF = Math.log(0.5);

    /** Chance that a well that was to stay empty holds a soil after all. */
    private static final double FILLED = 0.001;

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
        if (!its.predicts(one) || !its.predicts(other) || !its.readable[one] || !its.readable[other]) {
            return false;
        }
        boolean apart = its.namesTell && its.field(one) != its.field(other) || client(one) != client(other);
        if (its.knownMean[one] != null || its.knownMean[other] != null || apart) {
            return true;
        }
        // Both are near each other in one sequence: what is forecast for both cancels, and only their own relations
        // decide.
        double[] read = new double[its.p];
        double[] predictedNow = new double[its.p];
        for (int c = 0; c < its.p; c++) {
            read[c] = its.table.values()[one][its.own[c]] - its.table.values()[other][its.own[c]];
            predictedNow[c] = its.predicted[one][c] - its.predicted[other][c];
        }
        double[] u = its.inCoordinates(read);
        double[] f = its.inCoordinates(predictedNow);
        double gain = 0;
        for (int c = 0; c < its.p; c++) {
            gain -= u[c] * f[c] / (its.spread * its.widening[one]);
        }
        return gain > (its.namesTell ? 1 : -3);
    }

    private int client(int row) {
        return its.table.client()[row];
    }

    /** How likely the reading recorded at a row is when it belongs to no soil in question: to another one, or to an empty vessel. */
    double outlier(int row) {
        if (its.nothing[row]) {
            return LOG_HALF;
        }
        return its.readable[row] ? LOG_HALF + logSum(empty(row), somebody(row)) : 0;
    }

    private double empty(int row) {
        if (its.vessel.emptyMean().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double density = 0;
        for (int c = 0; c < its.p; c++) {
            double sd = its.vessel.emptySd()[c];
            double z = (its.table.values()[row][its.own[c]] - its.vessel.emptyMean()[c]) / sd;
            density -= 0.5 * z * z + Math.log(sd) + 0.5 * Math.log(2 * Math.PI);
        }
        return density;
    }

    private double somebody(int row) {
        double[] about = new double[its.p];
        for (int c = 0; c < its.p; c++) {
            about[c] = its.table.values()[row][its.own[c]] - its.outliers.centre()[c];
        }
        return its.outliers.constant()
                - (TDensity.LEARNING_FREEDOM + its.p)
                        / 2
                        * Math.log1p(
                                Triangular.squaredDistance(its.outliers.root(), about) / TDensity.LEARNING_FREEDOM);
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
            if (before != null && (done < its.sequenceStart[soil] || k == 0)) {
                System.arraycopy(before, 0, state, 0, state.length);
            }
            done = soil;
            if (its.readable[soil] && !its.nothing[soil]) {
                double read = its.table.values()[soil][its.own[0]];
                double value = k < length ? right.applyAsDouble(read) : read;
                if (its.knownMean[soil] != null) {
                    sum += KnownControls.tOfKnown((value - its.knownMean[soil][0]) / its.knownSd[soil][0])
                            - KnownControls.tOfKnown((read - its.knownMean[soil][0]) / its.knownSd[soil][0]);
                } else if (its.predicted[soil] != null) {
                    model.advance(state, soil);
                    double[] off = model.inCoordinates(new double[] {value - model.predicted[soil][0]});
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
        if (its.nothing[row]) {
            return Math.log1p(-FILLED);
        }
        return its.readable[row] ? logSum(Math.log1p(-FILLED) + empty(row), Math.log(FILLED) + somebody(row)) : 0;
    }

    /** How likely the reading at a row is when it is of the soil whose reading is at another row, taken once more. */
    double twice(int row, int before) {
        if (!its.readable[row] || !its.readable[before] || its.vessel.repeatSd().length == 0) {
            return Double.NEGATIVE_INFINITY;
        }
        double distance = 0;
        double logScale = 0;
        for (int c = 0; c < its.p; c++) {
            double sd = Math.sqrt(2) * its.vessel.repeatSd()[c];
            double z = (its.table.values()[row][its.own[c]] - its.table.values()[before][its.own[c]]) / sd;
            distance += z * z;
            logScale -= Math.log(sd);
        }
        return TDensity.logConstant(TDensity.LEARNING_FREEDOM, its.p)
                + logScale
                - (TDensity.LEARNING_FREEDOM + its.p) / 2 * Math.log1p(distance / TDensity.LEARNING_FREEDOM);
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
            while (i < soils.length && soils[i] <= its.sequenceEnd[soils[from]]) {
                i++;
            }
            double gain = gain(soils, from, i, readingOf, its.widenedWithout(soils, from, i));
            if (its.plain != null && its.plain.isFitted()) {
                // A client's soils follow the relations or do not, whichever way its readings lie.
                double gainAlone =
                        of(its.plain).gain(soils, from, i, readingOf, its.plain.widenedWithout(soils, from, i));
                double follows = Agreement.LOG_FOLLOWS + its.together[soils[from]];
                double alone = Agreement.LOG_FOLLOWS_NONE + its.plain.together[soils[from]];
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
            int end = its.sequenceEnd[soils[from]];
            while (i < soils.length && soils[i] <= end) {
                i++;
            }
            while (out < apart.length && apart[out] < its.sequenceStart[soils[from]]) {
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
        int end = Math.min(its.sequenceEnd[first], soils[to - 1] + AFTER);
        for (int soil = first; soil <= end; soil++) {
            sum += its.step(state, soil, readingOf.applyAsInt(soil), wider, null) - its.under(soil, wider);
        }
        return sum;
    }

    /** Of each row how likely its soil's reading is when every reading of a run is that of its neighbour in the run, from the client's first soil on. */
    double[] shifted(int[] run, int by) {
        double[] likely = new double[run.length];
        int[] readingOf = new int[its.table.soils()];
        Arrays.setAll(readingOf, i -> i);
        for (int k = 0; k < run.length; k++) {
            int at = k - by;
            readingOf[run[k]] = at < 0 || at >= run.length ? -1 : run[at];
        }
        double[] state = new double[FieldFilter.SIZE * its.p];
        int done = -1;
        for (int k = 0; k < run.length; k++) {
            int soil = run[k];
            if (done < its.sequenceStart[soil]) {
                its.start(state);
                done = its.sequenceStart[soil] - 1;
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
