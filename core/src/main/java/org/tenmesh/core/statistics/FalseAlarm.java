package org.tenmesh.core.statistics;

import org.hipparchus.special.Erf;

/** Limits for standard normal values from the chance of a false alarm. */
public final class FalseAlarm {
    private FalseAlarm() {}

    /**
     * The chance left to each of n independent values so that all together have {@code together}: {@code 1 - (1 - p)^(1/n)} (Sidak
     * 1967, J. Am. Stat. Assoc. 62:626).
     *
     * @param together 0 to 1
     * @param n 1 or more
     */
    public static double ofEach(double together, int n) {
        return -Math.expm1(Math.log1p(-together) / n);
    }

    /** The limit in standard deviations that a value lies beyond, on either side, with this chance. */
    public static double limit(double chance) {
        return Math.sqrt(2) * Erf.erfcInv(chance);
    }
}
