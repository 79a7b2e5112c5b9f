package org.tenmesh.proof.power;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RateTest {
    /** Newcombe 1998, Statistics in Medicine 17:857, table I, method 3 (score without correction); values from memory. */
    @ParameterizedTest
    @CsvSource({"81, 263, 0.2553, 0.3662", "15, 148, 0.0624, 0.1605", "0, 20, 0.0000, 0.1611", "1, 29, 0.0061, 0.1718"})
    void givesTheIntervalOfWilson(int count, int of, double low, double high) {
        Rate rate = new Rate(count, of);
        assertThat(rate.low()).isCloseTo(low, within(0.00005));
        assertThat(rate.high()).isCloseTo(high, within(0.00005));
    }

    @Test
    void isTheSameFromBothEnds() {
        assertThat(new Rate(20, 20).low()).isCloseTo(1 - new Rate(0, 20).high(), within(1e-12));
        assertThat(new Rate(20, 20).high()).isEqualTo(1);
    }

    @Test
    void refusesMoreThanThereWere() {
        assertThatThrownBy(() -> new Rate(3, 2)).hasMessage("found 3 of 2");
    }
}
