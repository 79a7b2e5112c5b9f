package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * A number and its uncertainty are rounded together. Example of JCGM 100:2008, 7.2.6: 10.057 62 with 0.027 is 10.058 (read in a secondary copy
 * of the clause).
 */
class StatedReferenceTest {
    private static Stated stated(double value, int decimals, double expanded) {
        return Stated.of(new Amount.Measured(value, Unit.PERCENT), new Rounding(decimals), OptionalDouble.of(expanded));
    }

    @ParameterizedTest
    @CsvSource({
        "10.05762, 5, 0.027, 10.058, 0.027",
        "1.13, 1, 0.097, 1.1, 0.1",
        "36.4, 0, 2.3, 36, 2",
        "91.2, 0, 7.4, 91, 7",
        "1434.2, 0, 126, 1430, 130",
        "1434.2, 0, 99.6, 1430, 100",
        "5.274, 2, 0.074, 5.27, 0.07",
        "0.02, 1, 0.004, 0.0, 0.1",
        "3, 0, 126, 0, 130",
        "-0.26, 1, 0.12, -0.3, 0.1",
        "72345, 0, 12345, 72000, 12000"
    })
    void roundsTheNumberToTheLastPlaceOfItsUncertainty(
            double value, int decimals, double expanded, String text, String uncertainty) {
        Stated stated = stated(value, decimals, expanded);

        assertThat(stated.text()).isEqualTo(text);
        assertThat(stated.uncertainty()).isEqualTo(uncertainty);
    }

    @Test
    void statesNeitherNothingNorMorePlacesThanTheNumberHas() {
        SplittableRandom random = new SplittableRandom(5);
        for (int i = 0; i < 20_000; i++) {
            int decimals = random.nextInt(5);
            double value = Math.pow(10, random.nextDouble(-3, 5));
            double expanded = Math.pow(10, random.nextDouble(-8, 5));
            Stated stated = stated(value, decimals, expanded);
            BigDecimal number = new BigDecimal(stated.text());
            BigDecimal uncertainty = new BigDecimal(stated.uncertainty());

            assertThat(uncertainty.signum()).as("%s %s", value, expanded).isPositive();
            assertThat(uncertainty.stripTrailingZeros().precision()).isLessThanOrEqualTo(2);
            assertThat(uncertainty.scale()).isEqualTo(number.scale()).isLessThanOrEqualTo(decimals);
        }
    }

    @Test
    void saysThatAnUncertaintyIsNotStatedInsteadOfZero() {
        Amount full = new Amount.Measured(100, Unit.PERCENT);
        Stated without = Stated.of(full, new Rounding(0), OptionalDouble.empty());

        assertThat(without.text()).isEqualTo("100");
        assertThat(without.uncertainty()).isEmpty();
        assertThat(without.known()).isEqualTo(new Uncertainty.NotStated());
        assertThat(without.sentence(Unit.PERCENT)).isEqualTo("not stated");
        assertThat(Stated.of(full, new Rounding(0), OptionalDouble.of(0)).known())
                .isEqualTo(new Uncertainty.NotStated());
        assertThatThrownBy(() -> new Uncertainty.Expanded(0)).isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void takesTheLastPlaceWherePropagationLeavesNothingButNoise() {
        assertThat(Uncertainty.calculated(1.8e-15, new Rounding(0))).isEqualTo(1);
        assertThat(Uncertainty.calculated(0, new Rounding(2))).isEqualTo(0.01);
        assertThat(Uncertainty.calculated(1e-4, new Rounding(2))).isEqualTo(1e-4);
    }

    /** A limit of a calculated number is rounded so that it still holds. */
    @ParameterizedTest
    @CsvSource({
        "0.0255767558, 2, 0.03, 0.02",
        "0.02, 2, 0.02, 0.02",
        "13.7, 0, 14, 13",
        "6.000000000000001, 0, 6, 6",
        "0.3, 1, 0.3, 0.3"
    })
    void roundsALimitTheWayThatItHolds(double value, int decimals, double up, double down) {
        assertThat(new Rounding(decimals).up(value)).isEqualTo(up);
        assertThat(new Rounding(decimals).down(value)).isEqualTo(down);
    }

    @Test
    void statesWhatIsNoNumberAsItIs() {
        Stated below = Stated.of(new Amount.Below(0.15, 0.04, Unit.PERCENT), new Rounding(1), OptionalDouble.empty());

        assertThat(below.text()).isEqualTo("< 0.15");
        assertThat(below.known()).isEqualTo(new Uncertainty.NoNumber());
        assertThat(below.sentence(Unit.PERCENT)).isEmpty();
    }
}
