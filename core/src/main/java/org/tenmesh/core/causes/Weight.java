package org.tenmesh.core.causes;

import org.tenmesh.core.quantity.Times;

/**
 * What the evidence for an explanation is worth.
 *
 * @param ratio log10 likelihood ratio, as the day's own decoys let it stand
 * @param odds log10 odds that it happened: the ratio times how often such a thing happens
 * @param expected log10 of how many ratios so large chance alone gives a whole day
 * @param rate how often such a thing happens where the laboratory's own record says so; empty text where the policy alone does
 */
record Weight(double ratio, double odds, double expected, String rate) {
    /** " 2,000 : 1 on the data, 40 : 1 that it happened; chance alone ..." */
    String text() {
        return Times.ratio(ratio) + " : 1 on the data, " + text(odds)
                + " that it happened; chance alone gives one so large "
                + (expected > -0.3
                        ? Times.ratio(Math.max(0, expected)) + " times a day"
                        : "once in " + Times.ratio(-expected) + " such days")
                + rate;
    }

    private static String text(double odds) {
        return odds >= 0 ? Times.ratio(odds) + " : 1" : "1 : " + Times.ratio(-odds);
    }
}
