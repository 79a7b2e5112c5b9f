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
     * "2.5", "300", "10¹²": two significant digits below a hundred, one above, the power alone from 10,000.
     *
     * @param log10 common logarithm of the ratio; below 0 is taken as 0
     */
    public static String ratio(double log10) {
        if (log10 >= POWERS_FROM) {
            StringBuilder power = new StringBuilder("10");
            Long.toString(Math.round(log10)).chars().forEach(digit -> power.append(SUPERSCRIPTS.charAt(digit - '0')));
            return power.toString();
        }
        double ratio = Math.pow(10, Math.max(0, log10));
        BigDecimal rounded = new BigDecimal(ratio).round(new MathContext(ratio < 100 ? 2 : 1));
        return String.format(Locale.ROOT, ratio < 10 ? "%,.1f" : "%,.0f", rounded)
                .replaceAll("\\.0$", "");
    }

    /** The same with its word: "300 times". */
    public static String text(double log10) {
        return ratio(log10) + " times";
    }
}
