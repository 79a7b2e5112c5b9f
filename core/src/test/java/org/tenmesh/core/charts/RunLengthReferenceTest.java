package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class RunLengthReferenceTest {
    static List<List<String>> rows(String file) {
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(RunLengthReferenceTest.class.getResourceAsStream(file)),
                StandardCharsets.UTF_8))) {
            List<List<String>> rows = new ArrayList<>(in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .map(line -> List.of(line.split(",", -1)))
                    .toList());
            rows.remove(0);
            return rows;
        } catch (IOException unreadable) {
            throw new UncheckedIOException(unreadable);
        }
    }

    private static List<Rule> join(List<Rule> one, List<Rule> two) {
        return Stream.concat(one.stream(), two.stream()).toList();
    }

    static Stream<List<String>> champAndWoodall() {
        return rows("champ-woodall-1987.csv").stream();
    }

    /** Champ, C. W. and Woodall, W. H., 1987, Technometrics 29:393, Table 1, as quoted in the manual of the R package spc. */
    @ParameterizedTest
    @MethodSource("champAndWoodall")
    void reproducesEveryPrintedRunLengthOfTheRunRules(List<String> row) {
        double shift = Double.parseDouble(row.get(0));
        List<Rule> beyond3 = RuleSet.beyond(1, 1, 3);
        assertThat(RunLength.of(beyond3, shift)).isCloseTo(Double.parseDouble(row.get(1)), within(0.0051));
        assertThat(RunLength.of(join(beyond3, RuleSet.beyond(2, 3, 2)), shift))
                .isCloseTo(Double.parseDouble(row.get(2)), within(0.0051));
        assertThat(RunLength.of(join(beyond3, RuleSet.beyond(4, 5, 1)), shift))
                .isCloseTo(Double.parseDouble(row.get(3)), within(0.0051));
        assertThat(RunLength.of(join(beyond3, RuleSet.beyond(8, 8, 0)), shift))
                .isCloseTo(Double.parseDouble(row.get(4)), within(0.0051));
        assertThat(RunLength.of(RuleSet.westernElectric().rules(), shift))
                .isCloseTo(Double.parseDouble(row.get(5)), within(0.0051));
    }

    static Stream<List<String>> sums() {
        return rows("cusum-ewma-arl.csv").stream().filter(row -> !row.get(5).contains("less exact"));
    }

    /**
     * Lucas, J. M. and Crosier, R. B., 1982, Technometrics 24:199, Table 1; Vance, L. C., 1986, J. Quality Technology 18:189, Table
     * 1; Crowder, S. V., 1987, Technometrics 29:401, Table 1; Lucas, J. M. and Saccucci, M. S., 1990, Technometrics 32:1, Table 3; as
     * quoted in the manual of the R package spc. Where no value is printed the column holds one computed apart from this program.
     */
    @ParameterizedTest
    @MethodSource("sums")
    void reproducesThePrintedRunLengthsOfCusumAndEwma(List<String> row) {
        double first = number(row.get(1), 0);
        double second = number(row.get(1), 1);
        double shift = Double.parseDouble(row.get(2));
        double found;
        if (row.get(0).startsWith("EWMA")) {
            found = RunLength.ewma(first, second, shift);
        } else if (row.get(0).startsWith("CUSUM one-sided")) {
            found = RunLength.cusum(first, second, shift, 0);
        } else {
            found = RunLength.cusumTwoSided(
                    first, second, shift, row.get(0).endsWith("FIR") ? number(row.get(1), 2) : 0);
        }
        if (!row.get(3).isEmpty()) {
            // The papers print three figures; their own arithmetic is good to 0.6 %.
            assertThat(found).isCloseTo(Double.parseDouble(row.get(3)), within(0.006 * Double.parseDouble(row.get(3))));
        }
        assertThat(found).isCloseTo(Double.parseDouble(row.get(4)), within(1e-4 * Double.parseDouble(row.get(4))));
    }

    private static double number(String design, int which) {
        String part = design.split(";")[which];
        return Double.parseDouble(part.substring(part.indexOf('=') + 1));
    }

    /** False alarms of single rules, exact: a run of n on one side comes after 2^(n-1)... values (Feller 1968, vol. 1, XIII.7). */
    @Test
    void runsOnOneSideFollowTheCoin() {
        for (int n = 7; n <= 10; n++) {
            assertThat(RunLength.of(RuleSet.beyond(n, n, 0), 0)).isCloseTo(Math.pow(2, n) - 1, within(1e-6));
        }
    }

    @Test
    void theMultiruleProcedureAgreesWithAnIndependentChain() {
        for (List<String> row : rows("runrule-arl.csv")) {
            if (row.get(0).startsWith("3s+2_2s+4_1s+10x")) {
                assertThat(RunLength.of(RuleSet.multirule().rules(), 0))
                        .isCloseTo(Double.parseDouble(row.get(1)), within(0.01));
                assertThat(RunLength.of(RuleSet.multirule().rules(), 1))
                        .isCloseTo(Double.parseDouble(row.get(3)), within(0.01));
                return;
            }
        }
        throw new AssertionError("the table has no row of the multirule procedure");
    }

    /** The rules as they are used on data signal as often as the chain says. */
    @Test
    void theRulesOnDataSignalAsOftenAsTheChainSays() {
        long seed = 20261125;
        SplittableRandom chance = new SplittableRandom(seed);
        RuleSet set = RuleSet.westernElectric();
        int runs = 4000;
        double sum = 0;
        double squares = 0;
        for (int run = 0; run < runs; run++) {
            double[] z = new double[2000];
            for (int i = 0; i < z.length; i++) {
                z[i] = chance.nextGaussian();
            }
            int at = 0;
            while (at < z.length && !signals(set, z, at)) {
                at++;
            }
            sum += at + 1;
            squares += (double) (at + 1) * (at + 1);
        }
        double mean = sum / runs;
        double error = Math.sqrt((squares / runs - mean * mean) / runs);
        assertThat(mean)
                .as("seed %d, standard error %.2f", seed, error)
                .isCloseTo(RunLength.of(set.rules(), 0), within(4 * error));
    }

    private static boolean signals(RuleSet set, double[] z, int at) {
        return set.rules().stream().anyMatch(rule -> rule.endsAt(z, at));
    }
}
