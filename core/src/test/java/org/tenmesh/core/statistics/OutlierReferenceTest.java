package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** Outlier tests; the printed tables of their critical values are checks of the program. */
class OutlierReferenceTest {
    // NIST/SEMATECH e-Handbook, section 1.3.5.17, after Tietjen & Moore 1972: G 2.4687 against 2.032.
    private static final double[] MASS_SPECTROMETER = {199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57};
    // Analytical Methods Committee, Technical Brief 69, 2015: data read.
    private static final double[] BRIEF_69 = {4.9, 5.1, 5.6, 5.0, 4.8, 4.8, 4.6};

    @Test
    void findsTheMassSpectrometersWildReading() {
        assertThat(Grubbs.highest(MASS_SPECTROMETER)).isCloseTo(2.4687, within(1e-4));
        assertThat(Grubbs.farthest(MASS_SPECTROMETER)).isEqualTo(Grubbs.highest(MASS_SPECTROMETER));
        assertThat(Grubbs.critical(8, 0.05, Suspect.NAMED_END)).isCloseTo(2.032, within(5e-4));
        double[] mirrored =
                Arrays.stream(MASS_SPECTROMETER).map(value -> -value).toArray();
        assertThat(Grubbs.lowest(mirrored)).isCloseTo(2.4687, within(1e-4));
        assertThat(Grubbs.farthest(mirrored)).isEqualTo(Grubbs.lowest(mirrored));
        assertThat(Grubbs.highest(mirrored)).isLessThan(1);
    }

    @Test
    void keepsAValueThatOnlyLooksWild() {
        assertThat(Grubbs.highest(BRIEF_69)).isCloseTo(1.96447, within(5e-6));
        assertThat(Grubbs.highest(BRIEF_69)).isLessThan(Grubbs.critical(7, 0.05, Suspect.EITHER_END));
        assertThat(Dixon.Ratio.R10.highest(BRIEF_69)).isCloseTo(0.5, within(1e-12));
        assertThat(Dixon.Ratio.R10.lowest(BRIEF_69)).isCloseTo(0.2, within(1e-12));
    }

    // By hand: of 1 2 3 4 20 22 the last two leave 1 2 3 4, sum of squares 5; the first two 3 4 20 22.
    @Test
    void comparesThePairWithTheRest() {
        double[] values = {20, 1, 4, 22, 2, 3};
        double all =
                Arrays.stream(values).map(v -> (v - 52.0 / 6) * (v - 52.0 / 6)).sum();
        assertThat(Grubbs.pairHighest(values)).isCloseTo(5 / all, within(1e-12));
        double rest = Arrays.stream(new double[] {3, 4, 20, 22})
                .map(v -> (v - 12.25) * (v - 12.25))
                .sum();
        assertThat(Grubbs.pairLowest(values)).isCloseTo(rest / all, within(1e-12));
    }

    // The table of pairs was only read in a library, so it is also drawn: under 5 % at either end is 2.5 % at one.
    @ParameterizedTest
    @CsvSource({"5", "8", "12", "20", "30"})
    void drawsPairsAsRarelyAsTheTableSays(int n) {
        long seed = 20261125L + n;
        Random random = new Random(seed);
        int rounds = 60_000;
        int five = 0;
        int one = 0;
        double[] values = new double[n];
        for (int round = 0; round < rounds; round++) {
            for (int i = 0; i < n; i++) {
                values[i] = random.nextGaussian();
            }
            double pair = Grubbs.pairHighest(values);
            five += pair < Grubbs.pairCritical5Pct(n) ? 1 : 0;
            one += pair < Grubbs.pairCritical1Pct(n) ? 1 : 0;
        }
        // Four standard deviations of a count, and the fourth decimal of the table.
        assertThat((double) five / rounds).as("seed %d", seed).isCloseTo(0.025, within(0.0030));
        assertThat((double) one / rounds).as("seed %d", seed).isCloseTo(0.005, within(0.0014));
    }

    @Test
    void takesTheLargestVarianceOverAll() {
        assertThat(Cochran.statistic(new double[] {1, 5, 2})).isEqualTo(0.625);
    }

    // Of three values the larger gap is the upper one with chance 1/2, so r10 exceeds 1/2 with chance 1/2.
    @Test
    void knowsTheMiddleOfThreeValues() {
        assertThat(Dixon.Ratio.R10.above(0.5, 3)).isCloseTo(0.5, within(1e-12));
        assertThat(Dixon.Ratio.R10.critical(3, 0.5, Suspect.NAMED_END)).isCloseTo(0.5, within(1e-12));
    }

    @ParameterizedTest
    @EnumSource(Dixon.Ratio.class)
    void spreadsTheWholeChanceOverTheRatios(Dixon.Ratio ratio) {
        for (int n : new int[] {ratio.least(), 12, 30}) {
            assertThat(ratio.above(0, n)).isCloseTo(1, within(1e-12));
            assertThat(ratio.above(1, n)).isCloseTo(0, within(1e-15));
        }
    }

    // Drawn: r12 and r20 are customary for no count, so nothing else asks for them.
    @ParameterizedTest
    @CsvSource({"R12,9", "R20,9", "R10,5", "R22,15"})
    void drawsRatiosAsOftenAsIntegrated(Dixon.Ratio ratio, int n) {
        long seed = 69L + n;
        Random random = new Random(seed);
        double critical = ratio.critical(n, 0.2, Suspect.EITHER_END);
        int rounds = 40_000;
        int high = 0;
        int low = 0;
        double[] values = new double[n];
        for (int round = 0; round < rounds; round++) {
            for (int i = 0; i < n; i++) {
                values[i] = 7 + 3 * random.nextGaussian();
            }
            high += ratio.highest(values) > critical ? 1 : 0;
            low += ratio.lowest(values) > critical ? 1 : 0;
        }
        assertThat((double) high / rounds).as("seed %d", seed).isCloseTo(0.1, within(0.006));
        assertThat((double) low / rounds).as("seed %d", seed).isCloseTo(0.1, within(0.006));
    }

    // By hand, of 1 2 4 7 11 16: the gaps at the top are 5 and 9.
    @Test
    void formsEachRatio() {
        double[] values = {4, 16, 1, 11, 2, 7};
        assertThat(Dixon.Ratio.R10.highest(values)).isCloseTo(5 / 15.0, within(1e-12));
        assertThat(Dixon.Ratio.R11.highest(values)).isCloseTo(5 / 14.0, within(1e-12));
        assertThat(Dixon.Ratio.R12.highest(values)).isCloseTo(5 / 12.0, within(1e-12));
        assertThat(Dixon.Ratio.R20.highest(values)).isCloseTo(9 / 15.0, within(1e-12));
        assertThat(Dixon.Ratio.R21.highest(values)).isCloseTo(9 / 14.0, within(1e-12));
        assertThat(Dixon.Ratio.R22.highest(values)).isCloseTo(9 / 12.0, within(1e-12));
        assertThat(Dixon.Ratio.R21.lowest(values)).isCloseTo(3 / 10.0, within(1e-12));
    }

    @Test
    void refusesWhatHasNoAnswer() {
        double[] two = {1, 2};
        double[] three = {1, 2, 3};
        assertThatThrownBy(() -> Grubbs.highest(two)).hasMessageContaining("3 values or more, found 2");
        assertThatThrownBy(() -> Grubbs.lowest(two)).hasMessageContaining("3 values or more, found 2");
        assertThatThrownBy(() -> Grubbs.critical(2, 0.05, Suspect.EITHER_END)).hasMessageContaining("found 2");
        assertThatThrownBy(() -> Grubbs.critical(5, 0, Suspect.EITHER_END)).hasMessageContaining("chance of error");
        assertThatThrownBy(() -> Grubbs.critical(5, 1, Suspect.NAMED_END)).hasMessageContaining("found 1.0");
        assertThatThrownBy(() -> Grubbs.pairHighest(three)).hasMessageContaining("4 values or more, found 3");
        assertThatThrownBy(() -> Grubbs.pairLowest(three)).hasMessageContaining("4 values or more, found 3");
        assertThatThrownBy(() -> Grubbs.pairCritical5Pct(3)).hasMessageContaining("4 to 30 values, found 3");
        assertThatThrownBy(() -> Grubbs.pairCritical1Pct(31)).hasMessageContaining("4 to 30 values, found 31");
        assertThat(Grubbs.pairCritical1Pct(4)).isZero();
        assertThat(Grubbs.highest(new double[] {5, 5, 5})).isNaN();
        assertThatThrownBy(() -> Cochran.statistic(new double[] {1}))
                .hasMessageContaining("two groups or more, found 1");
        assertThatThrownBy(() -> Cochran.critical(1, 3, 0.05)).hasMessageContaining("two groups or more, found 1");
        assertThatThrownBy(() -> Cochran.critical(3, 1, 0.05))
                .hasMessageContaining("two values or more in a group, found 1");
        assertThatThrownBy(() -> Dixon.Ratio.R22.highest(new double[5])).hasMessageContaining("r22 needs 6 values");
        assertThatThrownBy(() -> Dixon.Ratio.R10.above(0.5, 2)).hasMessageContaining("r10 needs 3 values");
        assertThatThrownBy(() -> Dixon.Ratio.R11.critical(3, 0.5, Suspect.NAMED_END))
                .hasMessageContaining("found 3");
    }
}
