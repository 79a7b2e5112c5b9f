package org.tenmesh.simulator.numbers;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;

/** The last digit an instrument shows. */
public final class Decimals {
    private Decimals() {}

    /** To a number of decimals, 0 to 6. */
    public static double places(double value, int decimals) {
        double scale = 1;
        for (int i = 0; i < decimals; i++) {
            scale *= 10;
        }
        return Math.rint(value * scale) / scale;
    }

    /** To a number of significant digits. */
    public static double significant(double value, int digits) {
        return new BigDecimal(value)
                .round(new MathContext(digits, RoundingMode.HALF_EVEN))
                .doubleValue();
    }
}
