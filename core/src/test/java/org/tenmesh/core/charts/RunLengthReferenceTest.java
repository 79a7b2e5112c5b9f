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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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

    /** All four rules of Champ and Woodall 1987 together, by an exact chain written apart from this program. */
    @ParameterizedTest
    @CsvSource({
        "0, 91.75", "0.2, 66.80", "0.4, 36.61", "0.6, 20.91", "0.8, 13.25", "1, 9.22", "1.2, 6.89", "1.4, 5.42",
        "1.6, 4.41", "1.8, 3.68", "2, 3.13", "2.2, 2.70", "2.4, 2.35", "2.6, 2.07", "2.8, 1.85", "3, 1.67"
    })
    void theFourRulesTogetherAgreeWithAnIndependentChain(double shift, double length) {
        assertThat(RunLength.of(RuleSet.westernElectric().rules(), shift)).isCloseTo(length, within(0.0051));
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
