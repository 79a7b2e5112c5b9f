package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Precision, ranges, chart constants, usual agreement between laboratories, scores and detection limits of replicates. */
class PrecisionReferenceTest {
    // Sulfur in coal, ISO 5725-2:1994, B.1, level 1: from memory, reproduced; groups of unequal size.
    @Test
    void weighsLaboratoriesOfUnequalSize() {
        double[][] coal = {
            {.71, .71, .70, .71}, {.69, .67, .68}, {.66, .65, .69}, {.67, .65, .66},
            {.70, .69, .66, .71, .69}, {.73, .74, .73}, {.71, .71, .69}, {.70, .65, .68}
        };
        Precision precision = Precision.of(coal);
        assertThat(precision.mean()).isCloseTo(0.690, within(5e-4));
        assertThat(precision.repeatabilitySd()).isCloseTo(0.015117, within(5e-7));
        assertThat(precision.reproducibilitySd()).isCloseTo(0.026364, within(5e-7));
        // By hand: N = 27, sum of squares of the sizes 95, so (27 - 95/27)/7.
        assertThat(OneWay.of(coal).replicates()).isCloseTo((27 - 95.0 / 27) / 7, within(1e-12));
    }

    @Test
    void refusesWhatCannotBeAnalysed() {
        assertThatThrownBy(() -> OneWay.of(new double[][] {{1, 2}})).hasMessageContaining("1 groups and 2 values");
        assertThatThrownBy(() -> OneWay.of(new double[][] {{1}, {2}})).hasMessageContaining("2 groups and 2 values");
        assertThatThrownBy(() -> OneWay.of(new double[][] {{1}, {}})).hasMessageContaining("group 1 has no value");
    }

    // By hand: group means 2 and 5, mean 3.5; SSB 2 * 2 * 2.25, SSW 2 + 2.
    @Test
    void analysesTwoPairs() {
        OneWay pairs = OneWay.of(new double[][] {{1, 3}, {4, 6}});
        assertThat(pairs.betweenSumOfSquares()).isEqualTo(9);
        assertThat(pairs.withinSumOfSquares()).isEqualTo(4);
        assertThat(pairs.f()).isEqualTo(4.5);
        assertThat(pairs.rSquared()).isCloseTo(9 / 13.0, within(1e-15));
        assertThat(pairs.residualSd()).isCloseTo(Math.sqrt(2), within(1e-15));
        assertThat(pairs.mean()).isEqualTo(3.5);
        assertThat(pairs.replicates()).isEqualTo(2);
        // F(1, 2) is the square of Student's t of 2: P(|t| > sqrt(4.5)) = 1 - sqrt(4.5 / 6.5).
        assertThat(pairs.chance()).isCloseTo(1 - Math.sqrt(4.5 / 6.5), within(1e-12));
        assertThat(Quantiles.fAbove(0, 1, 2)).isEqualTo(1);
    }

    // Closed forms for two and three values: d2 = 2/sqrt(pi), 3/sqrt(pi); d3 of two = sqrt(2 - 4/pi); c4 of two =
    // sqrt(2/pi).
    @Test
    void knowsTheRangeOfTwoAndThreeExactly() {
        ChartConstants two = ChartConstants.of(2);
        assertThat(two.d2()).isCloseTo(2 / Math.sqrt(Math.PI), within(1e-14));
        assertThat(two.d3()).isCloseTo(Math.sqrt(2 - 4 / Math.PI), within(1e-12));
        assertThat(two.c4()).isCloseTo(Math.sqrt(2 / Math.PI), within(1e-14));
        assertThat(two.a()).isCloseTo(3 / Math.sqrt(2), within(1e-14));
        assertThat(two.e2()).isCloseTo(1.5 * Math.sqrt(Math.PI), within(1e-13));
        assertThat(two.upperRangeOfSigma()).isCloseTo(two.d2() + 3 * two.d3(), within(1e-13));
        assertThat(two.lowerRangeOfSigma()).isZero();
        assertThat(ChartConstants.of(7).lowerRangeOfSigma()).isCloseTo(0.204741, within(5e-7));
        assertThat(NormalRange.mean(3)).isCloseTo(3 / Math.sqrt(Math.PI), within(1e-14));
        // |x1 - x2| is sqrt(2) times a half normal variable.
        assertThat(NormalRange.below(1.3, 2))
                .isCloseTo(2 * Quantiles.normalBelow(1.3 / Math.sqrt(2)) - 1, within(1e-14));
        assertThat(NormalRange.below(0, 4)).isZero();
        assertThat(NormalRange.below(40, 4)).isCloseTo(1, within(1e-14));
    }

    // ISO 5725-6, critical range for P = 0.95, as an open program carries the factors with two decimals.
    @ParameterizedTest
    @CsvSource({"2,2.77", "3,3.31", "4,3.63", "5,3.86"})
    void givesTheFactorsOfTheCriticalRange(int n, double factor) {
        assertThat(NormalRange.quantile(0.95, n)).isCloseTo(factor, within(5e-3));
        assertThat(new Precision(0, 2, 0, 2, 4).criticalRange(n)).isCloseTo(2 * factor, within(1e-2));
    }

    @Test
    void refusesARangeOfOneValue() {
        assertThatThrownBy(() -> NormalRange.below(1, 1)).hasMessageContaining("found 1");
        assertThatThrownBy(() -> NormalRange.mean(1)).hasMessageContaining("found 1");
        assertThatThrownBy(() -> NormalRange.quantile(0.5, 1)).hasMessageContaining("found 1");
        assertThatThrownBy(() -> NormalRange.quantile(0, 2)).hasMessageContaining("found 0.0");
        assertThatThrownBy(() -> NormalRange.quantile(1, 2)).hasMessageContaining("found 1.0");
    }

    // The quick area against the library's, and beyond the ends where it stops.
    @Test
    void knowsTheNormalAreaEverywhere() {
        for (double z = -9.5; z <= 9.5; z += 0.0137) {
            assertThat(NormalCurve.below(z)).as("z = %s", z).isCloseTo(Quantiles.normalBelow(z), within(1e-15));
        }
        assertThat(NormalCurve.below(-9)).isZero();
        assertThat(NormalCurve.below(9)).isEqualTo(1);
        assertThat(NormalCurve.density(0)).isCloseTo(0.3989422804014327, within(1e-16));
        assertThat(NormalCurve.density(1)).isCloseTo(0.24197072451914337, within(1e-16));
    }

    // Thompson 2000 in its three pieces; at the joints they meet within 1 %.
    @Test
    void bendsTheUsualAgreementAtBothEnds() {
        assertThat(Horwitz.modifiedSd(1e-9)).isCloseTo(0.22e-9, within(1e-18));
        assertThat(Horwitz.modifiedSd(1e-4)).isCloseTo(0.02 * Math.pow(1e-4, 0.8495), within(1e-15));
        assertThat(Horwitz.modifiedSd(0.25)).isCloseTo(0.005, within(1e-15));
        assertThat(Horwitz.modifiedSd(1.2e-7)).isCloseTo(0.02 * Math.pow(1.2e-7, 0.8495), within(1e-17));
        assertThat(Horwitz.modifiedSd(0.138)).isCloseTo(0.02 * Math.pow(0.138, 0.8495), within(1e-15));
        assertThatThrownBy(() -> Horwitz.predictedRsdPct(0)).hasMessageContaining("found 0.0");
        assertThatThrownBy(() -> Horwitz.modifiedSd(1.01)).hasMessageContaining("found 1.01");
        assertThat(Horwitz.predictedRsdPct(1)).isEqualTo(2);
    }

    // Plain arithmetic: result 10.5, assigned value 10.
    @Test
    void scoresAResult() {
        assertThat(Scores.z(10.5, 10, 0.25)).isEqualTo(2);
        assertThat(Scores.zPrime(10.5, 10, 0.25, 0.1)).isCloseTo(1.85695, within(5e-6));
        assertThat(Scores.zeta(10.5, 0.2, 10, 0.1)).isCloseTo(2.23607, within(5e-6));
        assertThat(Scores.en(10.5, 0.4, 10, 0.2)).isCloseTo(1.11803, within(5e-6));
        assertThat(Scores.z(9, 10, 0.5)).isEqualTo(-2);
        assertThat(Scores.robustMeanU(0.8, 16)).isCloseTo(0.25, within(1e-15));
        assertThatThrownBy(() -> Scores.z(1, 2, 0)).hasMessageContaining("found 0.0");
        assertThatThrownBy(() -> Scores.zPrime(1, 2, -1, 3)).hasMessageContaining("found -1.0");
        assertThatThrownBy(() -> Scores.zeta(1, 0, 2, 0)).hasMessageContaining("found 0.0");
    }

    // An instrument manual's eight readings: s 0.0009, 2.998 s = 0.003.
    private static final double[] EIGHT = {0.009, 0.010, 0.009, 0.010, 0.008, 0.011, 0.010, 0.009};

    // 40 CFR 136, Appendix B, revision 2, section II (2): from memory, and as an open script computes it.
    @Test
    void letsTheBlanksRaiseTheLimit() {
        double[] none = {};
        double[] six = {0.001, 0.002, 0.001, 0.004, 0.002, -0.001};
        MethodDetectionLimit silent = MethodDetectionLimit.of(EIGHT, none, 7);
        assertThat(silent.fromBlanks()).isZero();
        assertThat(silent.value()).isEqualTo(silent.fromSpikes()).isCloseTo(0.0027756, within(5e-8));
        assertThat(silent.spikes()).isEqualTo(8);
        assertThat(silent.blanks()).isEqualTo(7);
        MethodDetectionLimit some = MethodDetectionLimit.of(EIGHT, six, 1);
        assertThat(some.fromBlanks()).isEqualTo(0.004);
        assertThat(some.value()).isEqualTo(0.004);
        double[] seven = {1, 2, 3, 4, 5, 6, 7};
        double spread = 3.1427 * Math.sqrt(28 / 6.0);
        assertThat(MethodDetectionLimit.of(EIGHT, seven, 0).fromBlanks()).isCloseTo(4 + spread, within(1e-3));
        double[] below = {-1, -2, -3, -4, -5, -6, -7};
        assertThat(MethodDetectionLimit.of(EIGHT, below, 0).fromBlanks()).isCloseTo(spread, within(1e-3));
    }

    // 164 blanks: the 99th percentile is the 162nd from below. Of 100 the highest counts, from 101 the 100th.
    @Test
    void takesThe99thPercentileOfManyBlanks() {
        double[] blanks = new double[60];
        for (int i = 0; i < blanks.length; i++) {
            blanks[i] = blanks.length - i;
        }
        assertThat(MethodDetectionLimit.of(EIGHT, blanks, 104).fromBlanks()).isEqualTo(58);
        assertThat(MethodDetectionLimit.of(EIGHT, blanks, 40).fromBlanks()).isEqualTo(60);
        assertThat(MethodDetectionLimit.of(EIGHT, blanks, 41).fromBlanks()).isEqualTo(59);
        double[] two = {5, 6};
        assertThat(MethodDetectionLimit.of(EIGHT, two, 162).fromBlanks()).isZero();
        double[] three = {4, 5, 6};
        assertThat(MethodDetectionLimit.of(EIGHT, three, 161).fromBlanks()).isEqualTo(4);
    }

    // sqrt(6 / chi-square(6)): 0.644 and 2.202, what revision 1.11 printed as 0.64 and 2.20 (from memory).
    @Test
    void saysHowSureALimitIs() {
        assertThat(MethodDetectionLimit.lowerShare(7)).isCloseTo(0.644, within(5e-4));
        assertThat(MethodDetectionLimit.upperShare(7)).isCloseTo(2.202, within(5e-4));
        double[] six = {1, 2, 3, 4, 5, 6};
        assertThatThrownBy(() -> MethodDetectionLimit.of(six, EIGHT, 0)).hasMessageContaining("found 6 and 8");
        assertThatThrownBy(() -> MethodDetectionLimit.of(EIGHT, six, 0)).hasMessageContaining("found 8 and 6");
        assertThat(MethodDetectionLimit.of(new double[] {1, 2, 3, 4, 5, 6, 7}, six, 1)
                        .blanks())
                .isEqualTo(7);
    }
}
