package org.tenmesh.exchange.file;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class DecimalTextPropertyTest {
    @ParameterizedTest
    @ValueSource(longs = {1, 20261125, 77})
    void isTheShortestTextThatReadsBackAndTheNearestOfItsLength(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < 60_000; i++) {
            double value = value(random);
            if (!Double.isFinite(value)) {
                continue;
            }
            String text = DecimalText.of(value);
            assertThat(Double.doubleToLongBits(Double.parseDouble(text)))
                    .as("seed %d, text %s", seed, text)
                    .isEqualTo(Double.doubleToLongBits(value));
            assertShortestAndNearest(value, text, seed);
        }
    }

    private static void assertShortestAndNearest(double value, String text, long seed) {
        BigDecimal exact = new BigDecimal(value);
        BigDecimal written = new BigDecimal(text);
        int digits = written.stripTrailingZeros().precision();
        if (value == 0 || exact.stripTrailingZeros().precision() == digits) {
            return;
        }
        // The nearest decimal of that many digits cannot be nearer than what was written.
        BigDecimal nearest = exact.round(new MathContext(digits, RoundingMode.HALF_EVEN));
        if (nearest.doubleValue() == value) {
            assertThat(written.subtract(exact).abs())
                    .as("seed %d, %s nearest to %s", seed, text, exact)
                    .isEqualByComparingTo(nearest.subtract(exact).abs());
        }
        // Numbers next to zero may keep two digits where one would do, as the JDK's own text does.
        if (digits > 2 || digits == 2 && Math.abs(value) >= Double.MIN_NORMAL) {
            // Neither neighbour with one digit less reads back.
            for (RoundingMode mode : new RoundingMode[] {RoundingMode.DOWN, RoundingMode.UP}) {
                BigDecimal shorter = exact.round(new MathContext(digits - 1, mode));
                assertThat(shorter.doubleValue())
                        .as("seed %d, %s shorter than %s", seed, shorter, text)
                        .isNotEqualTo(value);
            }
        }
    }

    private static double value(SplittableRandom random) {
        return switch (random.nextInt(5)) {
            case 0 -> Double.longBitsToDouble(random.nextLong());
            case 1 -> random.nextDouble(-1e4, 1e4);
            case 2 -> Math.rint(random.nextDouble(-1e7, 1e7)) / 1000;
            case 3 -> Math.scalb(1.0, random.nextInt(-1074, 1024));
            default -> random.nextInt(-100_000, 100_000);
        };
    }

    @ParameterizedTest
    @CsvSource({
        "0, 0",
        "64, 64",
        "-64.5, -64.5",
        "0.1, 0.1",
        "1e-7, 0.0000001",
        "1.5e-8, 1.5E-8",
        "123456789012345, 123456789012345",
        "1e15, 1E15",
        "1.25e300, 1.25E300",
        "4.9e-324, 5E-324",
        "2e23, 2E23",
        "1.7976931348623157e308, 1.7976931348623157E308",
        "0.30000000000000004, 0.30000000000000004"
    })
    void writesPlainlyWherePeopleExpectIt(double value, String text) {
        assertThat(DecimalText.of(value)).isEqualTo(text);
    }

    @Test
    void keepsTheSignOfZero() {
        assertThat(DecimalText.of(-0.0)).isEqualTo("-0");
    }
}
