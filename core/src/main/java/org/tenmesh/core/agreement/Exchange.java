package org.tenmesh.core.agreement;

import java.util.Arrays;
import java.util.function.IntToDoubleFunction;
import java.util.function.IntUnaryOperator;

/**
 * How much better the readings agree when they belonged to other soils.
 *
 * <p>The odds are a likelihood ratio: under readings in their right places it exceeds {@code c} at most once in {@code c} times
 * (Markov's inequality; Robbins 1970, Ann. Math. Stat. 41:1397), as far as the model of the soils is right.
 */
public final class Exchange {
    private static final double LOG10_E = 1 / Math.log(10);
    /** How far from its first place the beginning of a shift is looked for: more change only the time it takes. */
    private static final int PLACES_AROUND = 10;

    private Exchange() {}

    /**
     * log10 odds that soils were read at other places, against every one in its place.
     *
     * @param soils rows of soils, each once; -1 is passed over
     * @param readings the row at which each soil's reading is recorded; -1 = it was not read
     */
    public static double log10Odds(Agreement agreement, int[] soils, int[] readings) {
        int count = 0;
        long[] pairs = new long[soils.length];
        for (int i = 0; i < soils.length; i++) {
            if (soils[i] >= 0) {
                pairs[count++] = (long) soils[i] << 32 | readings[i] & 0xffffffffL;
            }
        }
        long[] sorted = Arrays.copyOf(pairs, count);
        Arrays.sort(sorted);
        int[] rows = new int[count];
        int[] at = new int[count];
        for (int i = 0; i < count; i++) {
            rows[i] = (int) (sorted[i] >> 32);
            at[i] = (int) sorted[i];
        }
        return Hypotheses.of(agreement).logRatio(rows, readingOf(rows, at)) * LOG10_E;
    }

    /**
     * log10 odds that a tray was read end for end.
     *
     * @param wells the row in each of its wells in order, -1 where there is none
     * @param key index of the well that was left empty to show it; -1 = the tray has none
     */
    public static double turned(Agreement agreement, int[] wells, int key) {
        int[] opposite = new int[wells.length];
        for (int i = 0; i < wells.length; i++) {
            opposite[i] = wells.length - 1 - i;
        }
        return permuted(agreement, wells, opposite, key);
    }

    /**
     * log10 odds that the wells of a tray were read in pairs for each other.
     *
     * @param other for each well the one it was exchanged with, by index; that one's is the well again
     */
    public static double permuted(Agreement agreement, int[] wells, int[] other, int key) {
        int[] readings = new int[wells.length];
        for (int i = 0; i < wells.length; i++) {
            readings[i] = wells[other[i]];
        }
        double odds = log10Odds(agreement, wells, readings);
        if (key < 0 || wells[other[key]] < 0 || !agreement.isFitted()) {
            return odds;
        }
        // Then the empty well is met where a soil should be.
        int row = wells[other[key]];
        return odds
                + (Hypotheses.of(agreement).ofEmptyWell(row)
                                - Hypotheses.of(agreement).outlier(row))
                        * LOG10_E;
    }

    /** log10 odds that two trays were exchanged. */
    public static double exchanged(Agreement agreement, int[] one, int[] other) {
        int[] soils = Arrays.copyOf(one, one.length + other.length);
        System.arraycopy(other, 0, soils, one.length, other.length);
        int[] readings = Arrays.copyOf(other, soils.length);
        System.arraycopy(one, 0, readings, other.length, one.length);
        return log10Odds(agreement, soils, readings);
    }

    /**
     * Where a run most likely shifted.
     *
     * @param from index in the run's order from which readings belong to other soils
     * @param to index of the last such reading
     * @param by +1: each reading is that of the soil after the one recorded; -1: of the one before; and so on
     * @param log10Odds against no shift, with the choice of the place paid for
     */
    public record Shift(int from, int to, int by, double log10Odds) {}

    /**
     * The likeliest shift by one of a stretch of a run.
     *
     * @param run rows in the order they were read, each above the one before it
     */
    public static Shift shifted(Agreement agreement, int[] run) {
        int n = run.length;
        Shift best = new Shift(n, n, 1, Double.NEGATIVE_INFINITY);
        for (int by = 1; by >= -1; by -= 2) {
            Shift its = shifted(agreement, run, by);
            if (its.log10Odds() > best.log10Odds()) {
                best = its;
            }
        }
        return best;
    }

    /**
     * The likeliest shift of a stretch of a run by so many places.
     *
     * @param run rows in the order they were read, each above the one before it
     * @param by places, not 0; above 0 each reading is that of a soil after the one recorded
     */
    public static Shift shifted(Agreement agreement, int[] run, int by) {
        int n = run.length;
        int places = Math.abs(by);
        int fewest = agreement.soils.assumed.leastShifted() + places - 1;
        Shift best = new Shift(n, n, by, Double.NEGATIVE_INFINITY);
        if (n < fewest + 1 || !agreement.isFitted()) {
            return best;
        }
        double[] place = sums(n, k -> agreement.likelihood(run[k]));
        double[] outlier = new double[n];
        for (int k = 0; k < n; k++) {
            outlier[k] = Hypotheses.of(agreement).outlier(run[k]);
        }
        double[] likely = Hypotheses.of(agreement).reordered(run, k -> k - by);
        double[] sum = sums(n, k -> likely[k]);
        if (by == -1) {
            // What pushes a run back is most often one soil taken twice.
            for (int k = 1; k < n; k++) {
                outlier[k] = Math.max(outlier[k], Hypotheses.of(agreement).twice(run[k], run[k - 1]));
            }
        }
        if (places == 1 && !worthwhile(likely, place, outlier)) {
            return best;
        }
        // Of a stretch as many soils were not read as readings are nobody's. What its end adds is apart from what its
        // beginning takes, so that for each end the best beginning so far will do.
        double[] nobodys = sums(n, k -> outlier[k]);
        int from = 0;
        double least = Double.POSITIVE_INFINITY;
        for (int to = fewest - 1; to < n; to++) {
            int newest = to - fewest + 1;
            double before = by > 0
                    ? sum[newest + places] - place[newest]
                    : sum[newest] - place[newest] - (nobodys[newest + places] - nobodys[newest]);
            if (before < least) {
                least = before;
                from = newest;
            }
            double moved = by > 0 ? sum[to + 1] + nobodys[to + 1] - nobodys[to + 1 - places] : sum[to + 1 - places];
            double odds = (moved - place[to + 1] - least) * LOG10_E - paid(to, n);
            if (odds > best.log10Odds()) {
                best = new Shift(from, to, by, odds);
            }
        }
        return best.log10Odds() > 0 ? placed(agreement, run, best, outlier) : best;
    }

    /**
     * The likeliest stretch of a run in which neighbours were read in pairs for each other, one pair after the other: as near as a shift by one,
     * and nothing that anybody does.
     *
     * @param run rows in the order they were read, each above the one before it
     * @param first place of the first pair, 0 or 1
     * @return by = 0
     */
    public static Shift exchangedInPairs(Agreement agreement, int[] run, int first) {
        int n = run.length;
        int fewest = agreement.soils.assumed.leastShifted();
        Shift best = new Shift(n, n, 0, Double.NEGATIVE_INFINITY);
        if (n < fewest + 2 || !agreement.isFitted()) {
            return best;
        }
        int last = first + (n - first) / 2 * 2 - 1;
        double[] likely = Hypotheses.of(agreement)
                .reordered(run, k -> k < first || k > last ? k : (k - first) % 2 == 0 ? k + 1 : k - 1);
        double[] gain = sums(n, k -> likely[k] - agreement.likelihood(run[k]));
        int from = first;
        double least = Double.POSITIVE_INFINITY;
        for (int to = first + (fewest + 1) / 2 * 2 - 1; to <= last; to += 2) {
            int newest = to + 1 - (fewest + 1) / 2 * 2;
            if (gain[newest] < least) {
                least = gain[newest];
                from = newest;
            }
            double odds = (gain[to + 1] - least) * LOG10_E - paid(to, n);
            if (odds > best.log10Odds()) {
                best = new Shift(from, to, 0, odds);
            }
        }
        if (!(best.log10Odds() > 0)) {
            return best;
        }
        int[] soils = Arrays.copyOfRange(run, best.from(), best.to() + 1);
        int[] readings = new int[soils.length];
        for (int k = 0; k < soils.length; k++) {
            readings[k] = soils[k % 2 == 0 ? k + 1 : k - 1];
        }
        double exact = log10Odds(agreement, soils, readings) - paid(best.to(), n);
        return new Shift(best.from(), best.to(), 0, Math.min(best.log10Odds(), exact));
    }

    // The choice of where a stretch begins and ends, log10.
    private static double paid(int to, int n) {
        return (to == n - 1 ? 1 : 2) * Math.log10(n);
    }

    private static double[] sums(int n, IntToDoubleFunction of) {
        double[] sums = new double[n + 1];
        for (int k = 0; k < n; k++) {
            sums[k + 1] = sums[k] + of.applyAsDouble(k);
        }
        return sums;
    }

    // Where the stretch begins is asked once more with every soil forecast from what was then read before it: above,
    // the soils after the beginning were forecast as if their client's first ones had been moved too.
    private static Shift placed(Agreement agreement, int[] run, Shift found, double[] outlier) {
        int least = Math.max(0, found.from() - PLACES_AROUND);
        int most = Math.min(
                found.from() + PLACES_AROUND,
                found.to() - agreement.soils.assumed.leastShifted() - Math.abs(found.by()) + 2);
        int[] apart = Arrays.copyOfRange(run, least, found.to() + 1);
        double best = Double.NEGATIVE_INFINITY;
        int from = found.from();
        for (int at = least; at <= most; at++) {
            int[] soils = Arrays.copyOfRange(run, at, found.to() + 1);
            int[] readings = moved(soils, found.by());
            double likely = Hypotheses.of(agreement).logRatioAmongPlaces(soils, readingOf(soils, readings), apart)
                    + twice(agreement, run, at, found.by(), outlier);
            if (likely > best) {
                best = likely;
                from = at;
            }
        }
        int[] soils = Arrays.copyOfRange(run, from, found.to() + 1);
        double exact = log10Odds(agreement, soils, moved(soils, found.by()))
                + twice(agreement, run, from, found.by(), outlier) * LOG10_E;
        return new Shift(
                from, found.to(), found.by(), Math.min(found.log10Odds(), exact - paid(found.to(), run.length)));
    }

    private static int[] moved(int[] soils, int by) {
        int[] readings = new int[soils.length];
        for (int k = 0; k < soils.length; k++) {
            int of = k - by;
            readings[k] = of < 0 || of >= soils.length ? -1 : soils[of];
        }
        return readings;
    }

    private static IntUnaryOperator readingOf(int[] soils, int[] readings) {
        return soil -> {
            int k = Arrays.binarySearch(soils, soil);
            return k < 0 ? soil : readings[k];
        };
    }

    // The first reading of a stretch pushed back is nobody's, or its soil's neighbour taken twice.
    private static double twice(Agreement agreement, int[] run, int at, int by, double[] outlier) {
        return by == -1 && at > 0 ? outlier[at] - Hypotheses.of(agreement).outlier(run[at]) : 0;
    }

    // The best any stretch could do; on nearly every run that is already too little.
    private static boolean worthwhile(double[] likely, double[] place, double[] outlier) {
        double best = 0;
        double stretch = 0;
        double lost = 0;
        for (int k = 0; k < likely.length; k++) {
            double own = place[k + 1] - place[k];
            stretch = Math.max(0, stretch + likely[k] - own);
            best = Math.max(best, stretch);
            // One soil of the stretch was not read, and one reading is a outlier.
            lost = Math.max(lost, outlier[k] - likely[k]);
        }
        return (best + Math.max(0, lost)) * LOG10_E > Math.log10(likely.length);
    }
}
