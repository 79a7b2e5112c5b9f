package org.tenmesh.core.controldesign;

import org.tenmesh.core.layout.Layout;

/**
 * A way to place controls among the numbers of a day, and what follows from it. Calculated for a day without end; the moment at which
 * something goes wrong is taken to be any, so that it falls into a wide gap more often than into a narrow one.
 *
 * @param name in words
 * @param interval mean distance between controls, lab numbers
 * @param meanWait mean number of soils from any moment to the next control: {@code E(g^2) / (2 E(g))} for gaps g
 * @param pull by how much the later controls come sooner because the first gap met is wide: {@code Var(offset) / interval} where each
 *     control is moved about a fixed place, 0 where gaps know nothing of one another
 * @param doubt mean number of soils between the neighbours of a control that failed
 * @param longestDoubt largest such number
 * @param bestGuess chance of the likeliest distance to the next control for someone who knows every earlier one and the way of
 *     placing, but not the seed
 */
public record Placement(
        String name, double interval, double meanWait, double pull, double doubt, int longestDoubt, double bestGuess) {

    /** Every n-th number. */
    public static Placement every(int interval) {
        return about("every " + interval, interval, 0, 2 * interval - 2, 1);
    }

    /** Every n-th number, moved up to {@code by} numbers either way, each place equally likely. */
    public static Placement moved(int interval, int by) {
        return about(
                "every " + interval + ", moved by up to " + by,
                interval,
                by * (by + 1) / 3.0,
                2 * interval + 2 * by - 2,
                1.0 / (2 * by + 1));
    }

    /** One anywhere in each block of n numbers. */
    public static Placement inBlocks(int interval) {
        return about(
                "anywhere in blocks of " + interval,
                interval,
                ((double) interval * interval - 1) / 12,
                3 * interval - 3,
                1.0 / interval);
    }

    /** As {@link Layout} places them, its loads left aside. */
    public static Placement of(Layout.Rules rules) {
        return ofGaps("as laid out, gaps to " + rules.longestGap(), Layout.distances(rules));
    }

    /**
     * A constant chance at each number, and a control at the latest after {@code longestGap}: the mean distance is {@code (1 - (1 - p)^n)
     * / p}. For comparison; the bound itself can be guessed.
     *
     * @param longestGap above {@code interval}
     */
    public static Placement constantChance(int interval, int longestGap) {
        double low = 1e-9;
        double high = 1;
        for (int i = 0; i < 80; i++) {
            double p = (low + high) / 2;
            if ((1 - Math.pow(1 - p, longestGap)) / p > interval) {
                low = p;
            } else {
                high = p;
            }
        }
        double[] chances = new double[longestGap + 1];
        double left = 1;
        for (int g = 1; g < longestGap; g++) {
            chances[g] = left * low;
            left -= chances[g];
        }
        chances[longestGap] = left;
        return ofGaps("constant chance, gaps to " + longestGap, chances);
    }

    private static Placement ofGaps(String name, double[] chances) {
        double mean = 0;
        double square = 0;
        double best = 0;
        for (int g = 1; g < chances.length; g++) {
            mean += g * chances[g];
            square += (double) g * g * chances[g];
            best = Math.max(best, chances[g]);
        }
        return new Placement(name, mean, square / (2 * mean), 0, 2 * mean - 2, 2 * chances.length - 4, best);
    }

    // Places k M + J with independent J: gaps have variance 2 Var(J), and a gap that is met more often because it is
    // wide ends at a
    // J that is larger by Var(J) / M on average.
    private static Placement about(String name, int interval, double variance, int longestDoubt, double bestGuess) {
        double m = interval;
        return new Placement(
                name, m, (m * m + 2 * variance) / (2 * m), variance / m, 2 * m - 2, longestDoubt, bestGuess);
    }
}
