package org.tenmesh.app.check;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.statistics.OneWay;

/** The analysis of variance of NIST's sets against exact arithmetic: the digits that its checks miss were lost in reading the decimals. */
class VarianceTest {
    private static final MathContext MANY = new MathContext(60);

    // The doubles themselves, taken exactly, and worked through in 60 digits: what the arithmetic alone could lose.
    @ParameterizedTest
    @ValueSource(
            strings = {
                "SiRstv", "AtmWtAg", "SmLs01", "SmLs02", "SmLs03", "SmLs04", "SmLs05", "SmLs06", "SmLs07", "SmLs08",
                "SmLs09"
            })
    void losesNothingOfWhatTheDoublesHold(String set) {
        boolean large = set.endsWith("03") || set.endsWith("06") || set.endsWith("09");
        double[][] groups = PublishedSet.of(large ? "nist-anova-large.csv.gz" : "nist-anova.csv", set)
                .groups("treatment", "y");
        OneWay found = OneWay.of(groups);
        BigDecimal[] exact = exact(groups);
        assertDigits("sum of squares between", found.betweenSumOfSquares(), exact[0]);
        assertDigits("sum of squares within", found.withinSumOfSquares(), exact[1]);
    }

    private static BigDecimal[] exact(double[][] groups) {
        BigDecimal total = BigDecimal.ZERO;
        int n = 0;
        List<BigDecimal> means = new ArrayList<>();
        for (double[] group : groups) {
            BigDecimal sum = BigDecimal.ZERO;
            for (double value : group) {
                sum = sum.add(new BigDecimal(value));
            }
            means.add(sum.divide(BigDecimal.valueOf(group.length), MANY));
            total = total.add(sum);
            n += group.length;
        }
        BigDecimal mean = total.divide(BigDecimal.valueOf(n), MANY);
        BigDecimal between = BigDecimal.ZERO;
        BigDecimal within = BigDecimal.ZERO;
        for (int i = 0; i < groups.length; i++) {
            between = between.add(
                    means.get(i).subtract(mean).pow(2).multiply(BigDecimal.valueOf(groups[i].length)), MANY);
            for (double value : groups[i]) {
                within = within.add(new BigDecimal(value).subtract(means.get(i)).pow(2), MANY);
            }
        }
        return new BigDecimal[] {between, within};
    }

    private static void assertDigits(String what, double got, BigDecimal exact) {
        double expected = exact.doubleValue();
        double digits = Math.min(16, -Math.log10(Math.abs(got - expected) / Math.abs(expected)));
        assertThat(digits)
                .as("digits of %s: expected %s, got %s", what, expected, got)
                .isGreaterThanOrEqualTo(14.5);
    }
}
