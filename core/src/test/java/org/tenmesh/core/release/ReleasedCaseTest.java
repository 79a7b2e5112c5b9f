package org.tenmesh.core.release;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Map;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Unit;

class ReleasedCaseTest {
    private static final Unit UNIT = Unit.PERCENT;

    private static final Map<Amount, ReleasedCase> KINDS = Map.of(
            new Amount.Measured(3.2, UNIT), ReleasedCase.NUMBER,
            new Amount.Measured(-0.4, UNIT), ReleasedCase.NUMBER,
            new Amount.Below(0.2, 0.1, UNIT), ReleasedCase.BELOW,
            new Amount.Above(60, 70, UNIT), ReleasedCase.ABOVE,
            new Amount.Saturated(UNIT), ReleasedCase.SATURATED,
            new Amount.NotEnoughSoil(UNIT), ReleasedCase.NOT_ENOUGH_SOIL,
            new Amount.Classed("silty clay", UNIT), ReleasedCase.CLASSED,
            new Amount.Classed("2 to 5, weak", UNIT), ReleasedCase.CLASSED,
            new Amount.Missing("no reading", UNIT), ReleasedCase.HELD);

    @Test
    void keepsTheCaseOfTheAmount() {
        KINDS.forEach((amount, kind) -> assertThat(ReleasedCase.of(amount, stated(amount, OptionalDouble.of(0.2))))
                .as("%s", amount)
                .isEqualTo(kind));
        Amount full = new Amount.Measured(100, UNIT);
        assertThat(ReleasedCase.of(full, stated(full, OptionalDouble.empty()))).isEqualTo(ReleasedCase.NUMBER_AT_END);
    }

    /** What version 0.1 stored: the rounded text, and the value of numbers alone. */
    @Test
    void readsTheCaseOfAnOldReleaseFromItsText() {
        KINDS.forEach((amount, kind) -> {
            OptionalDouble value = amount instanceof Amount.Measured measured
                    ? OptionalDouble.of(measured.value())
                    : OptionalDouble.empty();
            assertThat(ReleasedCase.ofText(value, new Rounding(1).text(amount), ""))
                    .as("%s", amount)
                    .isEqualTo(kind);
        });
        assertThat(ReleasedCase.ofText(OptionalDouble.empty(), "", "drift along the run"))
                .isEqualTo(ReleasedCase.HELD);
    }

    @Test
    void isFoundByItsStoredWord() {
        for (ReleasedCase one : ReleasedCase.values()) {
            assertThat(ReleasedCase.ofWord(one.word())).isEqualTo(one);
        }
        assertThatThrownBy(() -> ReleasedCase.ofWord("zero"))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("\"zero\"");
    }

    private static Stated stated(Amount amount, OptionalDouble expanded) {
        return Stated.of(amount, new Rounding(1), expanded);
    }
}
