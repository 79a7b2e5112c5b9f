package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** NIST univariate sets (reference/nist-univariate) and robust statistics of copper in flour (reference/robust). */
class SpreadReferenceTest {
    @ParameterizedTest
    @CsvSource({
        "Lew,14,14,13",
        "Lottery,14,14,13",
        "Mavro,14,12.5,12",
        "Michelso,14,13,12",
        "NumAcc1,14,14,14",
        "NumAcc2,14,13,13",
        "NumAcc3,14,9,9",
        "NumAcc4,14,7.5,7.5"
    })
    void agreesWithCertifiedMoments(String set, double mean, double sd, double lag) throws IOException {
        Spread spread = Spread.of(values("nist-univariate/data.csv", set));
        String[] certified = rows("nist-univariate/certified.csv").stream()
                .filter(cells -> cells[0].equals(set))
                .findFirst()
                .orElseThrow();
        assertThat(spread.n()).isEqualTo(Integer.parseInt(certified[1]));
        assertDigits(set + " mean", spread.mean(), Double.parseDouble(certified[2]), mean);
        assertDigits(set + " sd", spread.sd(), Double.parseDouble(certified[3]), sd);
        assertDigits(set + " lag-1", spread.lag1(), Double.parseDouble(certified[4]), lag);
    }

    // Analytical Methods Committee 1989, Analyst 114:1693; figures printed by Venables & Ripley, Modern Applied
    // Statistics with S, section 5.5, and carried by the statsmodels tests: mean 4.2804, median 3.385, MAD 0.52632.
    @Test
    void staysCalmAboutOneWildCopperValue() throws IOException {
        double[] copper = values("robust/data.csv", "chem");
        assertThat(Robust.median(copper)).isCloseTo(3.385, within(1e-12));
        assertThat(Robust.scaledMad(copper)).isCloseTo(0.52632, within(5e-6));
        assertThat(Spread.of(copper).mean()).isCloseTo(4.2804, within(5e-5));
    }

    // The same source: Huber's proposal 2 of copper, k 1.5, which Algorithm A with exact factors settles at: 3.20549
    // and 0.67365;
    // normalised interquartile range 0.68570. Nickel of the book: 11.732 and 5.2585 (from memory).
    @Test
    void settlesOnTheRobustMeanOfTheBook() throws IOException {
        double[] copper = values("robust/data.csv", "chem");
        Robust.Estimate estimate = Robust.algorithmA(copper, Robust.Factors.EXACT, Robust.Stop.SETTLED);
        assertThat(estimate.mean()).isCloseTo(3.20549, within(1e-5));
        assertThat(estimate.sd()).isCloseTo(0.67365, within(5e-6));
        assertThat(estimate.steps()).isGreaterThan(5);
        assertThat(Robust.normalisedIqr(copper)).isCloseTo(0.68570, within(5e-6));
        double[] nickel = values("robust/data.csv", "abbey");
        Robust.Estimate of31 = Robust.algorithmA(nickel, Robust.Factors.EXACT, Robust.Stop.SETTLED);
        assertThat(of31.mean()).isCloseTo(11.732, within(5e-4));
        assertThat(of31.sd()).isCloseTo(5.2585, within(5e-5));
    }

    // ISO 13528 prints 1.483 and 1.134; settled with these the fourth figure differs. Computed once by the project.
    @ParameterizedTest
    @CsvSource({"chem,3.205566,0.674150", "abbey,11.732641,5.263550", "creosote,20.412143,1.069840"})
    void differsInTheFourthFigureWithPrintedFactors(String set, double mean, double sd) throws IOException {
        Robust.Estimate estimate =
                Robust.algorithmA(values("robust/data.csv", set), Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        assertThat(estimate.mean()).isCloseTo(mean, within(1e-6));
        assertThat(estimate.sd()).isCloseTo(sd, within(1e-6));
    }

    @Test
    void stopsWhenTheThirdFigureStands() throws IOException {
        double[] creosote = values("robust/data.csv", "creosote");
        Robust.Estimate third = Robust.algorithmA(creosote, Robust.Factors.AS_PRINTED, Robust.Stop.THIRD_FIGURE);
        Robust.Estimate settled = Robust.algorithmA(creosote, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        assertThat(third.steps()).isEqualTo(6);
        assertThat(third.sd()).isCloseTo(1.0537, within(5e-5)).isLessThan(settled.sd());
        assertThat(settled.steps()).isBetween(60, 90);
    }

    private static void assertDigits(String what, double got, double expected, double digits) {
        double reached = Math.min(16, -Math.log10(Math.abs(got - expected) / Math.abs(expected)));
        assertThat(reached)
                .as("digits of %s: expected %s, got %s", what, expected, got)
                .isGreaterThanOrEqualTo(digits);
    }

    private static double[] values(String file, String set) throws IOException {
        return rows(file).stream()
                .filter(cells -> cells[0].equals(set))
                .mapToDouble(cells -> Double.parseDouble(cells[2]))
                .toArray();
    }

    private static List<String[]> rows(String file) throws IOException {
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(SpreadReferenceTest.class.getResourceAsStream("/reference/" + file)),
                StandardCharsets.UTF_8))) {
            return in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split(",", -1))
                    .toList();
        }
    }
}
