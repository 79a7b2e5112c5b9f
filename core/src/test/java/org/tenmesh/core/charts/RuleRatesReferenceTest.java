package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.hipparchus.analysis.integration.gauss.GaussIntegrator;
import org.hipparchus.analysis.integration.gauss.GaussIntegratorFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.statistics.Quantiles;

class RuleRatesReferenceTest {
    static Stream<List<String>> rejections() {
        return RunLengthReferenceTest.rows("multirule-rejection.csv").stream();
    }

    /**
     * Rejection of one run by within-run rules as defined by Westgard, Barry, Hunt and Groth 1981, Clin. Chem. 27:493 (definitions as in
     * PMC3909142, Table 1); the figures were computed apart from this program by enumeration of zones.
     */
    @ParameterizedTest
    @MethodSource("rejections")
    void rejectsARunAsOftenAsAnIndependentEnumerationSays(List<String> row) {
        int n = Integer.parseInt(row.get(0));
        Predicate<double[]> rejects = rules(row.get(1));
        double[] shifts = {0, 1, 1.5, 2, 2.5, 3, 4};
        for (int i = 0; i < shifts.length; i++) {
            assertThat(FalseAlarms.inOneRun(rejects, List.of(1.0, 2.0, 3.0), n, shifts[i], 1))
                    .as("shift %s", shifts[i])
                    .isCloseTo(Double.parseDouble(row.get(2 + i)), within(6e-6));
        }
        assertThat(FalseAlarms.inOneRun(rejects, List.of(1.0, 2.0, 3.0), n, 0, 2))
                .isCloseTo(Double.parseDouble(row.get(9)), within(6e-6));
        assertThat(FalseAlarms.inOneRun(rejects, List.of(1.0, 2.0, 3.0), n, 0, 3))
                .isCloseTo(Double.parseDouble(row.get(10)), within(6e-6));
    }

    private static Predicate<double[]> rules(String names) {
        List<Rule> sequence = new ArrayList<>();
        boolean range = false;
        for (String name : names.split("/")) {
            switch (name) {
                case "12s" -> sequence.addAll(RuleSet.beyond(1, 1, 2));
                case "13s" -> sequence.addAll(RuleSet.beyond(1, 1, 3));
                case "22s" -> sequence.addAll(RuleSet.beyond(2, 2, 2));
                case "41s" -> sequence.addAll(RuleSet.beyond(4, 4, 1));
                case "R4s" -> range = true;
                default -> throw new AssertionError("unknown rule " + name);
            }
        }
        boolean withRange = range;
        return z -> {
            boolean high = false;
            boolean low = false;
            for (int at = 0; at < z.length; at++) {
                high |= z[at] > 2;
                low |= z[at] < -2;
                for (Rule rule : sequence) {
                    if (rule.endsAt(z, at)) {
                        return true;
                    }
                }
            }
            return withRange && high && low;
        };
    }

    /** 62 controls of 10 analytes in a day: 620 x 0.0455, arithmetic; such a chart would be switched off within a week. */
    @Test
    void twoStandardDeviationsGiveTwentyEightFalseWarningsADay() {
        RuleSet twoSd = new RuleSet("two standard deviations", "common practice", RuleSet.beyond(1, 1, 2));
        assertThat(FalseAlarms.perDay(twoSd, 62 * 10)).isCloseTo(28.2, within(0.05));
        assertThat(FalseAlarms.perDay(RuleSet.threeSigma(), 62 * 10)).isCloseTo(1.67, within(0.005));
        // The chart's own rules together: one in 91.75 points (Champ and Woodall 1987).
        assertThat(FalseAlarms.perDay(RuleSet.westernElectric(), 62 * 10)).isCloseTo(620 / 91.75, within(0.005));
    }

    private static double[][] equal(int m, double correlation) {
        double[][] r = new double[m][m];
        for (int i = 0; i < m; i++) {
            for (int j = 0; j < m; j++) {
                r[i][j] = i == j ? 1 : correlation;
            }
        }
        return r;
    }

    /**
     * Equal correlations reduce to one dimension: given what all share, the values are independent (Dunnett and Sobel 1955, Biometrika
     * 42:258, from memory; integrated here by Gauss-Legendre, not by the lattice).
     */
    @ParameterizedTest
    @CsvSource({"2, 0.5, 2", "12, 0.3, 3", "12, 0.8, 3", "12, 0.95, 2.5", "5, 0, 2"})
    void theLatticeAgreesWithTheIntegralForEqualCorrelations(int m, double rho, double limit) {
        GaussIntegrator rule = new GaussIntegratorFactory().legendre(200, -8, 8);
        double inside = rule.integrate(t -> {
            double root = Math.sqrt(1 - rho);
            double each = Quantiles.normalBelow((limit + Math.sqrt(rho) * t) / root)
                    - Quantiles.normalBelow((-limit + Math.sqrt(rho) * t) / root);
            return Math.exp(-t * t / 2) / Math.sqrt(2 * Math.PI) * Math.pow(each, m);
        });
        assertThat(Together.chanceOfAny(limit, equal(m, rho))).isCloseTo(1 - inside, within(2e-4));
    }

    /** Sidak 1967, J. Am. Stat. Assoc. 62:626: independent values need the widest limit; what moves together may have a narrower one. */
    @Test
    void correlationNarrowsTheLimitThatKeepsTheTotal() {
        double each = -Math.expm1(Math.log1p(-0.01) / 12);
        double sidak = Quantiles.normal(1 - each / 2);
        assertThat(Together.limitFor(0.01, equal(12, 0))).isCloseTo(sidak, within(2e-3));
        double correlated = Together.limitFor(0.01, equal(12, 0.9));
        assertThat(correlated).isLessThan(sidak - 0.2).isGreaterThan(Quantiles.normal(0.995));
        assertThat(FalseAlarms.controlsPerDay(2, 62, equal(10, 0)))
                .isCloseTo(62 * (1 - Math.pow(0.9545, 10)), within(0.02));
    }

    /** One analyte: T² is the square of Student's t of a new value against n earlier ones. */
    @Test
    void theJointResidualOfOneAnalyteIsStudentsT() {
        double[][] rows = IntStream.range(0, 12)
                .mapToObj(i -> new double[] {5 + (i * 7 % 12) / 10.0})
                .toArray(double[][]::new);
        Together.Residual residual = Together.Residual.of(rows);
        double t = Quantiles.t(0.995, 11);
        assertThat(residual.limit(0.01)).isCloseTo((1 + 1.0 / 12) * t * t, within(1e-9));
        assertThat(residual.chance(residual.limit(0.003))).isCloseTo(0.003, within(1e-9));
    }

    /** A pattern that no analyte shows by itself: two that always move together move apart. */
    @Test
    void theJointResidualSeesWhatBreaksThePattern() {
        double[][] rows = new double[40][];
        for (int i = 0; i < rows.length; i++) {
            double portion = Math.sin(i * 1.7) * 1.4;
            rows[i] = new double[] {portion + 0.1 * Math.sin(i * 2.3), portion + 0.1 * Math.cos(i * 3.1)};
        }
        Together.Residual residual = Together.Residual.of(rows);
        assertThat(residual.chance(residual.tSquared(new double[] {1.2, 1.2}))).isGreaterThan(0.2);
        assertThat(residual.chance(residual.tSquared(new double[] {1.2, -1.2}))).isLessThan(1e-9);
        assertThat(Together.correlation(rows)[0][1]).isGreaterThan(0.99);
    }
}
