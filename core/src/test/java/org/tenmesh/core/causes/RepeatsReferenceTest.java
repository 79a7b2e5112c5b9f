package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

class RepeatsReferenceTest {
    private static Result result(int run, double value, double u) {
        return new Result(
                new LabNumber("L1"),
                "m",
                LocalDate.of(2026, 11, 1),
                "P",
                "R" + run,
                1,
                "",
                new Amount.Measured(value, Unit.MILLIGRAM_PER_KILOGRAM),
                Double.toString(value),
                OptionalDouble.of(2 * u),
                Verdict.FIT,
                List.of());
    }

    private static Repeats.Choice choose(int together, double... values) {
        int[] run = {0};
        return Repeats.choose(
                Arrays.stream(values).mapToObj(v -> result(run[0]++, v, 1)).toList(), together, Policy.defaults());
    }

    /** Critical difference 2.8 s and critical range 3.3 s of three, ISO 5725-6 (2.8 and 3.3 read at projects.bre.co.uk): 2.77 and 3.31 unrounded. */
    @Test
    void twoAgreeWithinTwoPointEightAndThreeWithinThreePointThree() {
        assertThat(choose(1, 100, 102.76).agree()).isTrue();
        assertThat(choose(1, 100, 102.78).agree()).isFalse();
        assertThat(choose(1, 100, 102.76).stands()).isEqualTo(1);
        assertThat(choose(1, 100, 103.3, 101.5).agree()).isTrue();
        assertThat(choose(1, 100, 103.3, 101.5).stands()).isEqualTo(2);
        assertThat(choose(1, 100, 103.33, 101.5).agree()).isFalse();
        assertThat(choose(1, 106, 100, 103).why())
                .isEqualTo(
                        "The median of 3 stands: the 3 range over 6, at most 3.31 expected (3.3 standard uncertainties).");
    }

    @Test
    void theMedianStandsWhenThreeDoNotAgree() {
        assertThat(choose(1, 100, 110, 104).stands()).isEqualTo(2);
        assertThat(choose(1, 100, 110, 120).stands()).isEqualTo(1);
        assertThat(choose(1, 104, 100, 120, 106).stands()).isEqualTo(3);
    }

    /** Of four the two in the middle are 104 and 106; the later reading of these stands, be it the smaller or the larger one. */
    @Test
    void ofAnEvenNumberTheLaterOfTheTwoInTheMiddleStands() {
        assertThat(choose(1, 106, 100, 120, 104).stands()).isEqualTo(3);
        assertThat(choose(1, 104, 100, 120, 106).stands()).isEqualTo(3);
        assertThat(choose(1, 120, 104, 106, 100).stands()).isEqualTo(2);
        assertThat(choose(1, 120, 106, 104, 100).stands()).isEqualTo(2);
    }

    /** Standard uncertainties 1 and 3: as squares their mean is 5, and 2.7718 times its root is 6.198. */
    @Test
    void readingsOfUnequalUncertaintyAreComparedByBoth() {
        assertThat(Repeats.choose(List.of(result(0, 100, 1), result(1, 106.1, 3)), 1, Policy.defaults())
                        .agree())
                .isTrue();
        assertThat(Repeats.choose(List.of(result(0, 100, 1), result(1, 106.3, 3)), 1, Policy.defaults())
                        .agree())
                .isFalse();
    }

    /** Twelve analytes of one soil: 0.95^(1/12) for each (Sidak 1967), a factor of 4.04 in place of 2.77. */
    @Test
    void analytesReadAgainTogetherShareTheChanceOfOneSoilInTwenty() {
        assertThat(choose(12, 100, 104.0).agree()).isTrue();
        assertThat(choose(12, 100, 104.1).agree()).isFalse();
    }
}
