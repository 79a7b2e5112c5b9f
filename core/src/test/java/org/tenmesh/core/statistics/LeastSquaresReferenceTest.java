package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** NIST Statistical Reference Datasets, linear least squares; data, source and digits in reference/nist-linear. */
class LeastSquaresReferenceTest {
    // Digits asked for: half a digit to one below what is reached, so that another processor passes and a slip does
    // not.
    @ParameterizedTest
    @CsvSource({
        "Norris,13,13",
        "Pontius,13,13",
        "NoInt1,14,14",
        "NoInt2,14,14",
        "Filip,7.5,7",
        "Longley,14,12",
        "Wampler3,15,13",
        "Wampler4,15,13",
        "Wampler5,15,13"
    })
    void agreesWithCertifiedValues(String set, double digits, double sdDigits) throws IOException {
        LeastSquares fit = fit(set);
        for (int j = 0; j < fit.columns(); j++) {
            String name = "B" + (set.startsWith("NoInt") ? j + 1 : j);
            assertDigits(set + " " + name, fit.coefficient(j), certified(set, name), digits);
            assertDigits(set + " SD of " + name, fit.standardError(j), certified(set, "SD(" + name + ")"), sdDigits);
        }
        boolean filip = set.equals("Filip");
        assertDigits(set + " residual SD", fit.residualSd(), certified(set, "residual_SD"), filip ? 8 : 13);
        assertDigits(set + " R2", fit.rSquared(), certified(set, "R2"), filip ? 10 : 13);
        assertDigits(
                set + " sum of squares",
                fit.regressionSumOfSquares(),
                certified(set, "SS_regression"),
                filip ? 10 : 13);
        assertDigits(set + " F", fit.fStatistic(), certified(set, "F"), filip ? 7.5 : 13);
    }

    // Exact polynomials: the certified residual SD and all standard errors are 0.
    @ParameterizedTest
    @CsvSource({"Wampler1,1e-13,1e-8", "Wampler2,1e-12,1e-12"})
    void leavesNothingOfAnExactPolynomial(String set, double relative, double mostSd) throws IOException {
        LeastSquares fit = fit(set);
        for (int j = 0; j < fit.columns(); j++) {
            double expected = certified(set, "B" + j);
            assertThat(fit.coefficient(j)).isCloseTo(expected, within(relative * expected));
            assertThat(fit.standardError(j)).isBetween(0.0, mostSd);
        }
        assertThat(fit.residualSd()).isBetween(0.0, mostSd);
        assertThat(fit.rSquared()).isCloseTo(1, within(1e-14));
    }

    // The same sets as polynomials: powers about the middle keep what raw powers lose.
    @ParameterizedTest
    @CsvSource({"Norris,1,12.5", "Pontius,2,12", "Filip,10,13", "Wampler3,5,13.5", "Wampler4,5,13.5", "Wampler5,5,13.5"
    })
    void keepsItsDigitsForPolynomialsOfAnyDegree(String set, int degree, double digits) throws IOException {
        List<String[]> rows =
                rows("data.csv").stream().filter(cells -> cells[0].equals(set)).toList();
        LeastSquares fit = LeastSquares.polynomial(
                rows.stream().mapToDouble(cells -> Double.parseDouble(cells[3])).toArray(),
                rows.stream().mapToDouble(cells -> Double.parseDouble(cells[2])).toArray(),
                degree);
        for (int j = 0; j <= degree; j++) {
            String name = "B" + j;
            assertDigits(set + " " + name, fit.coefficient(j), certified(set, name), digits);
            assertDigits(set + " SD of " + name, fit.standardError(j), certified(set, "SD(" + name + ")"), digits);
        }
    }

    private static void assertDigits(String what, double got, double expected, double digits) {
        assertThat(digits(got, expected))
                .as("digits of %s: expected %s, got %s", what, expected, got)
                .isGreaterThanOrEqualTo(digits);
    }

    private static double digits(double got, double expected) {
        return Math.min(16, -Math.log10(Math.abs(got - expected) / Math.abs(expected)));
    }

    private static LeastSquares fit(String set) throws IOException {
        List<double[]> rows = new ArrayList<>();
        List<Double> y = new ArrayList<>();
        for (String[] cells : rows("data.csv")) {
            if (cells[0].equals(set)) {
                y.add(Double.valueOf(cells[2]));
                double x = Double.parseDouble(cells[3]);
                int degree = switch (set) {
                    case "Norris" -> 1;
                    case "Pontius" -> 2;
                    case "Filip" -> 10;
                    default -> 5;
                };
                if (set.equals("Longley")) {
                    double[] row = new double[7];
                    row[0] = 1;
                    for (int j = 1; j < 7; j++) {
                        row[j] = Double.parseDouble(cells[2 + j]);
                    }
                    rows.add(row);
                } else if (set.startsWith("NoInt")) {
                    rows.add(new double[] {x});
                } else {
                    double[] row = new double[degree + 1];
                    row[0] = 1;
                    for (int j = 1; j <= degree; j++) {
                        row[j] = Math.pow(x, j);
                    }
                    rows.add(row);
                }
            }
        }
        return LeastSquares.fit(
                rows.toArray(double[][]::new),
                y.stream().mapToDouble(Double::doubleValue).toArray(),
                !set.startsWith("NoInt"));
    }

    private static double certified(String set, String quantity) throws IOException {
        for (String[] cells : rows("certified.csv")) {
            if (cells[0].equals(set) && cells[2].equals(quantity)) {
                return Double.parseDouble(cells[3]);
            }
        }
        throw new IllegalArgumentException(set + " has no " + quantity);
    }

    private static List<String[]> rows(String file) throws IOException {
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(
                        LeastSquaresReferenceTest.class.getResourceAsStream("/reference/nist-linear/" + file)),
                StandardCharsets.UTF_8))) {
            return in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split(",", -1))
                    .toList();
        }
    }
}
