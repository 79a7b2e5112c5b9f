package org.tenmesh.core.quantity;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;

/**
 * The one rounding rule of the house: half up, away from zero, on the shortest decimal text of the number, once, at
 * reporting. 2.675 to two places is 2.68 although its binary neighbour lies below.
 *
 * @param decimals places after the decimal point, 0 to 9
 */
public record Rounding(int decimals) {
    private static final double[] POWERS = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

    public Rounding {
        if (decimals < 0 || decimals > 9) {
            throw new IllegalArgumentException("decimals must be 0 to 9, found " + decimals);
        }
    }

    /** One unit of the last place: 0.01 for two decimals. */
    public double lastPlace() {
        return 1 / POWERS[decimals];
    }

    // Whether two significant digits of an uncertainty surely reach to the last place or beyond it. One that is written
    // with fewer places
    // than that is a whole number of tenfold last places, and one that rounds up to three digits lies above 9.9 of
    // them: both are left to
    // decimal arithmetic.
    boolean isCoarserThan(double uncertainty) {
        double tens = uncertainty * POWERS[decimals] / 10;
        return tens > 1e-9 && tens < 9.9 && Math.abs(tens - Math.rint(tens)) > 1e-9;
    }

    /** The number as reported text, without unit. */
    public String text(double value) {
        double scaled = Math.abs(value) * POWERS[decimals];
        double whole = Math.floor(scaled);
        double rest = scaled - whole;
        // Away from the half, and where the product is exact to better than the margin, no decimal text is needed.
        if (scaled < 1e9 && Math.abs(rest - 0.5) > 1e-5) {
            return plain(value < 0, (long) whole + (rest > 0.5 ? 1 : 0));
        }
        BigDecimal rounded = BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_UP);
        return rounded.signum() == 0 ? BigDecimal.ZERO.setScale(decimals).toPlainString() : rounded.toPlainString();
    }

    /** The least number of so many decimals that is not below this one: a limit that is rounded up promises nothing too much. */
    public double up(double value) {
        return toward(value, RoundingMode.CEILING);
    }

    /** The largest number of so many decimals that is not above this one. */
    public double down(double value) {
        return toward(value, RoundingMode.FLOOR);
    }

    // Beyond the twelfth significant digit lies what floating-point operations left over.
    private double toward(double value, RoundingMode mode) {
        return new BigDecimal(value)
                .round(new MathContext(12))
                .setScale(decimals, mode)
                .doubleValue();
    }

    private String plain(boolean negative, long unscaled) {
        StringBuilder text = new StringBuilder(16);
        if (negative && unscaled != 0) {
            text.append('-');
        }
        long power = (long) POWERS[decimals];
        text.append(unscaled / power);
        if (decimals > 0) {
            text.append('.');
            long fraction = unscaled % power;
            for (long place = power / 10; place > 1 && fraction < place; place /= 10) {
                text.append('0');
            }
            text.append(fraction);
        }
        return text.toString();
    }

    /**
     * The amount as reported text: a number, "&lt; limit", "&gt; limit", a class, "saturated", "not enough soil", or empty when there
     * is nothing to report.
     */
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
        if (amount instanceof Amount.Classed classed) {
            return classed.word();
        }
        if (amount instanceof Amount.Saturated) {
            return "saturated";
        }
        if (amount instanceof Amount.NotEnoughSoil) {
            return "not enough soil";
        }
        return "";
    }

    // A limit is printed as the laboratory wrote it: 0.15 stays 0.15 even where results carry one decimal.
    private static String plain(double limit) {
        return BigDecimal.valueOf(limit).stripTrailingZeros().toPlainString();
    }
}
