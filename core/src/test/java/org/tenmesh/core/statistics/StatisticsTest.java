package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class StatisticsTest {
    // Wisconsin Administrative Code NR 252.0365, table of t(0.99, n - 1) for detection limits.
    @ParameterizedTest
    @CsvSource({
        "7,3.143",
        "8,2.998",
        "9,2.896",
        "10,2.821",
        "11,2.764",
        "16,2.602",
        "21,2.528",
        "26,2.485",
        "31,2.457",
        "61,2.390"
    })
    void givesTheStudentFactorsOfTheDetectionLimitRule(int n, double expected) {
        assertThat(Quantiles.t(0.99, n - 1)).isCloseTo(expected, within(5e-4));
    }

    // The same table's last line, n infinite.
    @Test
    void givesTheNormalFactorForEndlessReplicates() {
        assertThat(Quantiles.normal(0.99)).isCloseTo(2.326, within(5e-4));
        assertThat(Quantiles.normalBelow(Quantiles.normal(0.99))).isCloseTo(0.99, within(1e-12));
    }

    // By hand: differences 0.2, 0 and 0.4.
    @Test
    void takesTheSpreadOfOneDeterminationFromPairs() {
        double[] first = {5.0, 6.1, 7.2};
        double[] second = {5.2, 6.1, 6.8};
        assertThat(Spread.ofDuplicates(first, second)).isCloseTo(Math.sqrt(0.2 / 6), within(1e-12));
        assertThat(Spread.pooledSd(new double[] {0.3, 0.4, 9}, new int[] {2, 4, 0}))
                .isCloseTo(Math.sqrt((2 * 0.09 + 4 * 0.16) / 6), within(1e-12));
    }

    @Test
    void takesTheMiddleOfAnEvenNumberOfValues() {
        assertThat(Robust.median(new double[] {9, 1, 3, 2})).isEqualTo(2.5);
        assertThat(Robust.scaledMad(new double[] {1, 2, 3, 4, 100})).isCloseTo(1.4826, within(1e-4));
    }

    @Test
    void refusesWhatHasNoAnswer() {
        double[] none = {};
        assertThatThrownBy(() -> Spread.of(none)).hasMessageContaining("found none");
        assertThatThrownBy(() -> Robust.median(none)).hasMessageContaining("found none");
        assertThatThrownBy(() -> Spread.ofDuplicates(new double[1], new double[2]))
                .hasMessageContaining("1 first");
        assertThatThrownBy(() -> Spread.pooledSd(new double[1], new int[1])).hasMessageContaining("two or more");
        assertThatThrownBy(() -> Quantiles.t(1.5, 3)).hasMessageContaining("1.5");
        assertThatThrownBy(() -> Quantiles.t(0.5, 0)).hasMessageContaining("degrees of freedom");
    }

    @Test
    void refusesColumnsThatDependOnOneAnother() {
        double[][] rows = {{1, 2, 3}, {1, 3, 4}, {1, 5, 6}, {1, 9, 10}};
        assertThatThrownBy(() -> LeastSquares.fit(rows, new double[] {1, 2, 3, 4}, true))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("column 2 depends");
        double[][] two = {{1, 2}, {1, 3}};
        assertThatThrownBy(() -> LeastSquares.fit(two, new double[] {1, 2}, true))
                .hasMessageContaining("2 rows of 2 columns");
    }

    @Test
    void knowsNoSpreadOfOneValueOrOfEqualOnes() {
        assertThat(Spread.of(new double[] {4}).sd()).isNaN();
        assertThat(Spread.of(new double[] {4, 4, 4}).sd()).isZero();
        assertThat(Spread.of(new double[] {4, 4, 4}).lag1()).isNaN();
    }

    // By hand: sorted 1 2 4 8, places 0 to 3.
    @Test
    void interpolatesQuantiles() {
        double[] values = {8, 1, 4, 2};
        assertThat(Robust.quantile(values, 0)).isEqualTo(1);
        assertThat(Robust.quantile(values, 1)).isEqualTo(8);
        assertThat(Robust.quantile(values, 0.5)).isEqualTo(3);
        assertThat(Robust.quantile(values, 0.25)).isEqualTo(1.75);
        assertThat(Robust.quantile(values, 0.9)).isCloseTo(6.8, within(1e-12));
        assertThat(Robust.normalisedIqr(values)).isCloseTo(0.7413011 * 3.25, within(1e-6));
        assertThatThrownBy(() -> Robust.quantile(values, 1.1)).hasMessageContaining("4 and 1.1");
        assertThatThrownBy(() -> Robust.quantile(values, -0.1)).hasMessageContaining("4 and -0.1");
        assertThatThrownBy(() -> Robust.quantile(new double[0], 0.5)).hasMessageContaining("found 0");
    }

    @Test
    void knowsARobustSpreadOfNothingWhenHalfTheValuesAreEqual() {
        Robust.Estimate estimate =
                Robust.algorithmA(new double[] {5, 5, 5, 5, 9}, Robust.Factors.EXACT, Robust.Stop.SETTLED);
        assertThat(estimate).isEqualTo(new Robust.Estimate(5, 0, 0));
        assertThatThrownBy(() -> Robust.algorithmA(new double[1], Robust.Factors.EXACT, Robust.Stop.THIRD_FIGURE))
                .hasMessageContaining("two values or more, found 1");
        assertThat(Robust.Factors.AS_PRINTED.start()).isEqualTo(1.483);
        assertThat(Robust.Factors.AS_PRINTED.sd()).isEqualTo(1.134);
        assertThat(Robust.Factors.EXACT.sd()).isCloseTo(1.1333927, within(5e-8));
    }

    // By hand; d2 of three is 3/sqrt(pi).
    @Test
    void takesTheSpreadFromRangesAndTheRelativeDifference() {
        assertThat(Spread.ofRanges(new double[] {1, 2, 3}, 3)).isCloseTo(2 * Math.sqrt(Math.PI) / 3, within(1e-12));
        assertThat(Spread.relativeDifferencePct(90, 110)).isEqualTo(20);
        assertThat(Spread.relativeDifferencePct(110, 90)).isEqualTo(20);
        assertThat(Spread.relativeDifferencePct(-90, -110)).isEqualTo(20);
        assertThat(Spread.relativeDifferencePct(0, 0)).isNaN();
    }

    // F(1, n) is the square of t(n); chi-square of 2 is -2 ln(1 - p).
    @Test
    void tiesTheDistributionsToOneAnother() {
        double t = Quantiles.t(0.975, 7);
        assertThat(Quantiles.f(0.95, 1, 7)).isCloseTo(t * t, within(1e-10));
        assertThat(Quantiles.chiSquare(0.9, 2)).isCloseTo(-2 * Math.log(0.1), within(1e-10));
        assertThat(Quantiles.fAbove(t * t, 1, 7)).isCloseTo(0.05, within(1e-12));
        assertThatThrownBy(() -> Quantiles.f(0.5, 0, 3))
                .hasMessageContaining("Fisher's F")
                .hasMessageContaining("0.0");
        assertThatThrownBy(() -> Quantiles.f(0.5, 3, -1)).hasMessageContaining("-1.0");
        assertThatThrownBy(() -> Quantiles.fAbove(1, 0, 3)).hasMessageContaining("found 0.0");
        assertThatThrownBy(() -> Quantiles.chiSquare(0.5, 0)).hasMessageContaining("chi-square");
        assertThatThrownBy(() -> Quantiles.chiSquare(1, 2)).hasMessageContaining("found 1.0");
        assertThatThrownBy(() -> Quantiles.normal(0)).hasMessageContaining("found 0.0");
    }
}
