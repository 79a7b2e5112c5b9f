package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.zip.GZIPInputStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** NIST Statistical Reference Datasets, analysis of variance; data, source and digits in reference/nist-anova. */
class OneWayReferenceTest {
    private static final MathContext MANY = new MathContext(60);

    // Half a digit to one below what is reached; what is missing was lost when the decimal text became doubles.
    @ParameterizedTest
    @CsvSource({
        "SiRstv,12.5",
        "AtmWtAg,9.5",
        "SmLs01,14.5",
        "SmLs02,14.5",
        "SmLs03,14.5",
        "SmLs04,9.3",
        "SmLs05,9.3",
        "SmLs06,9.3",
        "SmLs07,3.3",
        "SmLs08,3.3",
        "SmLs09,3.3"
    })
    void agreesWithCertifiedValues(String set, double digits) throws IOException {
        OneWay found = OneWay.of(decimals(set));
        String[] certified = certified(set);
        assertThat(found.groups()).isEqualTo(Integer.parseInt(certified[1]));
        assertThat(found.n()).isEqualTo(Integer.parseInt(certified[2]));
        assertThat(found.betweenDegrees()).isEqualTo(Integer.parseInt(certified[3]));
        assertThat(found.withinDegrees()).isEqualTo(Integer.parseInt(certified[7]));
        assertDigits("SSB", found.betweenSumOfSquares(), certified[4], digits);
        assertDigits("MSB", found.betweenMeanSquare(), certified[5], digits);
        assertDigits("F", found.f(), certified[6], digits);
        assertDigits("SSW", found.withinSumOfSquares(), certified[8], digits);
        assertDigits("MSW", found.withinMeanSquare(), certified[9], digits);
        assertDigits("R2", found.rSquared(), certified[10], digits);
        assertDigits("residual SD", found.residualSd(), certified[11], digits);
    }

    // The doubles themselves, taken exactly, and worked through in 60 digits: what the arithmetic alone could lose.
    @ParameterizedTest
    @ValueSource(
            strings = {
                "SiRstv", "AtmWtAg", "SmLs01", "SmLs02", "SmLs03", "SmLs04", "SmLs05", "SmLs06", "SmLs07", "SmLs08",
                "SmLs09"
            })
    void losesNothingOfWhatTheDoublesHold(String set) throws IOException {
        double[][] groups = decimals(set);
        OneWay found = OneWay.of(groups);
        BigDecimal[] exact = exact(groups);
        assertDigits("SSB", found.betweenSumOfSquares(), exact[0].toString(), 14.5);
        assertDigits("SSW", found.withinSumOfSquares(), exact[1].toString(), 14.5);
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

    private static void assertDigits(String what, double got, String expected, double digits) {
        assertThat(digits(got, expected))
                .as("digits of %s: expected %s, got %s", what, expected, got)
                .isGreaterThanOrEqualTo(digits);
    }

    private static double digits(double got, String expected) {
        double certified = Double.parseDouble(expected);
        return Math.min(16, -Math.log10(Math.abs(got - certified) / Math.abs(certified)));
    }

    private static double[][] decimals(String set) throws IOException {
        boolean large = set.endsWith("03") || set.endsWith("06") || set.endsWith("09");
        Map<Integer, List<Double>> groups = new TreeMap<>();
        for (String[] cells : rows(large ? "data-large.csv.gz" : "data.csv")) {
            if (cells[0].equals(set)) {
                groups.computeIfAbsent(Integer.valueOf(cells[1]), treatment -> new ArrayList<>())
                        .add(Double.valueOf(cells[2]));
            }
        }
        return groups.values().stream()
                .map(values -> values.stream().mapToDouble(Double::doubleValue).toArray())
                .toArray(double[][]::new);
    }

    private static String[] certified(String set) throws IOException {
        return rows("certified.csv").stream()
                .filter(cells -> cells[0].equals(set))
                .findFirst()
                .orElseThrow();
    }

    private static List<String[]> rows(String file) throws IOException {
        InputStream raw =
                Objects.requireNonNull(OneWayReferenceTest.class.getResourceAsStream("/reference/nist-anova/" + file));
        try (BufferedReader in = new BufferedReader(
                new InputStreamReader(file.endsWith(".gz") ? new GZIPInputStream(raw) : raw, StandardCharsets.UTF_8))) {
            return in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split(",", -1))
                    .toList();
        }
    }
}
