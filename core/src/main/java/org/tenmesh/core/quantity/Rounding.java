package org.tenmesh.core.quantity;

import java.math.BigDecimal;
import java.math.RoundingMode;

/**
 * The one rounding rule of the house: half up, away from zero, on the shortest decimal text of the number, once, at
 * reporting. 2.675 to two places is 2.68 although its binary neighbour lies below.
 *
 * @param decimals places after the decimal point, 0 to 9
 */
public record Rounding(int decimals) {
    public Rounding {
        if (decimals < 0 || decimals > 9) {
            throw new IllegalArgumentException("decimals must be 0 to 9, found " + decimals);
        }
    }

    /** The number as reported text, without unit. */
    public String text(double value) {
        BigDecimal rounded = BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_UP);
        return rounded.signum() == 0 ? BigDecimal.ZERO.setScale(decimals).toPlainString() : rounded.toPlainString();
    }

    /** The amount as reported text: a number, "&lt; limit", "&gt; limit", or empty when there is none. */
    public String text(Amount amount) {
        if (amount instanceof Amount.Measured measured) {
            return text(measured.value());
        }
        if (amount instanceof Amount.Below below) {
            return "< " + plain(below.limit());
        }
        if (amount instanceof Amount.Above above) {
            return "> " + text(above.limit());
        }
        return "";
    }

    // A limit is printed as the laboratory wrote it: 0.15 stays 0.15 even where results carry one decimal.
    private static String plain(double limit) {
        return BigDecimal.valueOf(limit).stripTrailingZeros().toPlainString();
    }
}
