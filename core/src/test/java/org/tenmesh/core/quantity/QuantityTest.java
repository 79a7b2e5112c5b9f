package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class QuantityTest {
    // Half up on the decimal text, away from zero (Java: java.math.RoundingMode.HALF_UP).
    @ParameterizedTest
    @CsvSource({
        "2.675,2,2.68",
        "1.005,2,1.01",
        "0.125,2,0.13",
        "-0.125,2,-0.13",
        "-0.004,2,0.00",
        "6.25,1,6.3",
        "128,0,128",
        "0.049999,1,0.0",
        "1e21,0,1000000000000000000000",
        "99.95,1,100.0"
    })
    void roundsOnceHalfUpOnTheDecimalText(double value, int decimals, String text) {
        assertThat(new Rounding(decimals).text(value)).isEqualTo(text);
    }

    @Test
    void neverPrintsALimitAsANumber() {
        Rounding one = new Rounding(1);
        Unit unit = Unit.MILLIGRAM_PER_KILOGRAM;
        assertThat(one.text(new Amount.Measured(29.46, unit))).isEqualTo("29.5");
        assertThat(one.text(new Amount.Below(0.15, 0.02, unit))).isEqualTo("< 0.15");
        assertThat(one.text(new Amount.Below(5, -0.3, unit))).isEqualTo("< 5");
        assertThat(one.text(new Amount.Above(500, 612, unit))).isEqualTo("> 500.0");
        assertThat(one.text(new Amount.Missing("no reading of line K 766.490", unit)))
                .isEmpty();
    }

    @Test
    void keepsTheNumberBehindTheAmount() {
        Unit unit = Unit.PERCENT;
        assertThat(new Amount.Measured(3.2, unit).raw()).isEqualTo(3.2);
        assertThat(new Amount.Below(0.1, 0.04, unit).raw()).isEqualTo(0.04);
        assertThat(new Amount.Above(50, 61, unit).raw()).isEqualTo(61);
        assertThat(new Amount.Missing("no weight", unit).raw()).isNaN();
    }

    @Test
    void refusesWhatIsNoMeasurement() {
        assertThatThrownBy(() -> new Amount.Measured(Double.NaN, Unit.PH)).hasMessageContaining("NaN");
        assertThatThrownBy(() -> new Rounding(-1)).hasMessageContaining("-1");
        assertThatThrownBy(() -> new Rounding(10)).hasMessageContaining("10");
    }

    @Test
    void findsEveryUnitByItsOwnCode() {
        assertThat(Unit.values())
                .allSatisfy(unit -> assertThat(Unit.ofUcum(unit.ucum())).contains(unit));
        assertThat(Arrays.stream(Unit.values()).map(Unit::ucum)).doesNotHaveDuplicates();
        assertThat(Unit.ofUcum("ppm")).isEmpty();
        assertThat(Unit.ofUcum("MG/KG")).isEmpty();
    }
}
