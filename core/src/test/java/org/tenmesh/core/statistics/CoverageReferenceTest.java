package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CoverageReferenceTest {
    /** JCGM 100:2008 (GUM), table G.2, column 95.45 %, as printed (read in a reprint of the table). */
    @ParameterizedTest
    @CsvSource({
        "1, 13.97",
        "2, 4.53",
        "3, 3.31",
        "4, 2.87",
        "5, 2.65",
        "6, 2.52",
        "7, 2.43",
        "8, 2.37",
        "9, 2.32",
        "10, 2.28",
        "20, 2.13",
        "50, 2.05"
    })
    void factorsAsPrinted(int degrees, double printed) {
        assertThat(Coverage.factor(degrees)).isCloseTo(printed, within(0.005));
    }

    /** The same table: 2.025 at 100, 2.000 for infinitely many. */
    @Test
    void manyDegrees() {
        assertThat(Coverage.factor(100)).isCloseTo(2.025, within(5e-4));
        assertThat(Coverage.factor(Double.POSITIVE_INFINITY)).isEqualTo(2);
        // The expansion continues the quantiles of the library.
        for (double degrees : new double[] {101, 150, 1000, 1e6}) {
            assertThat(Coverage.factor(degrees))
                    .isCloseTo(Quantiles.t(Quantiles.normalBelow(2), degrees), within(1e-7));
        }
    }

    /**
     * JCGM 100:2008 (GUM), example of G.4.1: relative standard uncertainties 0.25, 0.57 and 0.82 % of means of 10, 5 and 15 readings give 19.0 effective
     * degrees of freedom. Annex H.1: 25, 9.7, 2.9 and 16.6 nm with 18, 25.6, 50 and 2 degrees give 16.7, taken as 16. Both from memory, their
     * arithmetic reproduced.
     */
    @Test
    void effectiveDegreesAsPrinted() {
        assertThat(Coverage.effectiveDegrees(new double[] {0.25, 0.57, 0.82}, new double[] {9, 4, 14}))
                .isCloseTo(19.0, within(0.05));
        assertThat(Coverage.effectiveDegrees(new double[] {25, 9.7, 2.9, 16.6}, new double[] {18, 25.6, 50, 2}))
                .isCloseTo(16.7, within(0.1));
    }

    @Test
    void whatIsKnownExactlyHasNoEnd() {
        assertThat(Coverage.effectiveDegrees(new double[] {3, 0}, new double[] {Double.POSITIVE_INFINITY, 4}))
                .isEqualTo(Double.POSITIVE_INFINITY);
        assertThat(Coverage.factor(16.76)).isEqualTo(Coverage.factor(16));
        assertThat(Coverage.factor(0.3)).isEqualTo(Coverage.factor(1));
    }
}
