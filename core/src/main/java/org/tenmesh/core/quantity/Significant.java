package org.tenmesh.core.quantity;

import java.math.BigDecimal;
import java.math.MathContext;

/** Numbers inside sentences: as many digits as help, no more. */
public final class Significant {
    private Significant() {}

    /**
     * A number to so many significant digits, without exponent and without trailing zeros.
     *
     * @param digits 1 to 17
     */
    public static String text(double value, int digits) {
        if (!Double.isFinite(value)) {
            return Double.toString(value);
        }
        BigDecimal rounded = new BigDecimal(value).round(new MathContext(digits));
        return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
    }
}
