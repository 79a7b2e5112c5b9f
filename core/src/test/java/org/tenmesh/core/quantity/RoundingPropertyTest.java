package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The quick way of rounding agrees with decimal arithmetic, {@link BigDecimal}, on every number tried, with an uncertainty and without. */
class RoundingPropertyTest {

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void agreesWithDecimalArithmetic(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < 200_000; i++) {
            int decimals = random.nextInt(7);
            double value = number(random);
            BigDecimal exact = new BigDecimal(Double.toString(value)).setScale(decimals, RoundingMode.HALF_UP);
            String expected =
                    exact.signum() == 0 ? BigDecimal.ZERO.setScale(decimals).toPlainString() : exact.toPlainString();

            assertThat(new Rounding(decimals).text(value))
                    .as("seed %s, value %s to %s places", seed, value, decimals)
                    .isEqualTo(expected);
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3})
    void theTextAloneIsThatOfTheWholeStatement(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < 200_000; i++) {
            Rounding rounding = new Rounding(random.nextInt(7));
            Amount amount = new Amount.Measured(number(random), Unit.PERCENT);
            OptionalDouble expanded = OptionalDouble.of(Math.abs(number(random)));

            assertThat(Stated.text(amount, rounding, expanded))
                    .as("seed %s, %s with %s to %s places", seed, amount, expanded, rounding.decimals())
                    .isEqualTo(Stated.of(amount, rounding, expanded).text());
        }
    }

    // Halves written in decimals are the trap, so every second number is one.
    private static double number(SplittableRandom random) {
        double sign = random.nextBoolean() ? 1 : -1;
        if (random.nextBoolean()) {
            return sign * random.nextInt(2_000_000) / Math.pow(10, random.nextInt(7));
        }
        return sign * Math.pow(10, random.nextDouble() * 12 - 6);
    }
}
