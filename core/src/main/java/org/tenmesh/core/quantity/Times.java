package org.tenmesh.core.quantity;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;

/** Ratios of likelihoods inside sentences. */
public final class Times {
    /** From here on a power of ten says more than its digits. */
    private static final double POWERS_FROM = 4;

    private static final String SUPERSCRIPTS = "⁰¹²³⁴⁵⁶⁷⁸⁹";

    private Times() {}

    /**
     * "2.5 times", "300 times", "10¹² times": two significant digits below a hundred, one above, the power alone from 10,000.
     *
     * @param log10 common logarithm of the ratio; below 0 is taken as 0
     */
    public static String text(double log10) {
        if (log10 >= POWERS_FROM) {
            StringBuilder power = new StringBuilder("10");
            Long.toString(Math.round(log10)).chars().forEach(digit -> power.append(SUPERSCRIPTS.charAt(digit - '0')));
            return power.append(" times").toString();
        }
        double ratio = Math.pow(10, Math.max(0, log10));
        BigDecimal rounded = new BigDecimal(ratio).round(new MathContext(ratio < 100 ? 2 : 1));
        return String.format(Locale.ROOT, rounded.scale() > 0 ? "%,.1f times" : "%,.0f times", rounded)
                .replace(".0 times", " times");
    }
}
