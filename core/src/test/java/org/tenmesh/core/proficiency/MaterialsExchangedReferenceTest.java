package org.tenmesh.core.proficiency;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Two published studies in which one laboratory interchanged the materials; sources in reference/exchanged-materials/README.md. */
class MaterialsExchangedReferenceTest {
    private static final double FALSE_ALARM = 0.05;

    private static List<String[]> rows(String name) {
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(MaterialsExchangedReferenceTest.class.getResourceAsStream(
                        "/reference/exchanged-materials/" + name + ".csv")),
                StandardCharsets.UTF_8))) {
            return in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split(",", -1))
                    .toList();
        } catch (IOException unreadable) {
            throw new UncheckedIOException(unreadable);
        }
    }

    static double[] column(String name, int column) {
        return rows(name).stream()
                .mapToDouble(row -> Double.parseDouble(row[column]))
                .toArray();
    }

    private static double[] withoutLast(double[] values) {
        return Arrays.copyOf(values, values.length - 1);
    }

    @ParameterizedTest
    @CsvSource({"chromium, 27, 4.0", "potassium, 24, 7.0"})
    void findsTheOneLaboratoryOfEachStudyAndNoOther(String study, int row, double surerThan) {
        List<MaterialsExchanged.Odds> found = MaterialsExchanged.find(column(study, 1), column(study, 2), FALSE_ALARM);
        assertThat(found).extracting(MaterialsExchanged.Odds::index).containsExactly(row);
        assertThat(found.get(0).log10Odds()).isGreaterThan(surerThan);
        // Of all others it is at least ten times likelier that they did not.
        assertThat(MaterialsExchanged.odds(column(study, 1), column(study, 2)))
                .filteredOn(odds -> odds.index() != row)
                .hasSize(row)
                .allMatch(odds -> odds.log10Odds() < -1);
    }

    /** Which material is called the first does not matter, nor the order of the laboratories. */
    @ParameterizedTest
    @ValueSource(strings = {"chromium", "potassium"})
    void doesNotGoByOrder(String study) {
        double[] first = column(study, 2);
        double[] second = column(study, 1);
        int n = first.length;
        for (int i = 0; i < n / 2; i++) {
            swap(first, i, n - 1 - i);
            swap(second, i, n - 1 - i);
        }
        assertThat(MaterialsExchanged.find(first, second, FALSE_ALARM))
                .extracting(MaterialsExchanged.Odds::index)
                .containsExactly(0);
    }

    @ParameterizedTest
    @ValueSource(strings = {"chromium", "potassium"})
    void findsNothingOnceTheLaboratoryIsLeftOut(String study) {
        assertThat(MaterialsExchanged.find(withoutLast(column(study, 1)), withoutLast(column(study, 2)), FALSE_ALARM))
                .isEmpty();
    }

    /** Each other laboratory in turn made to interchange. Those that lie wide of all others anyhow may be missed; none is named wrongly. */
    @ParameterizedTest
    @CsvSource({"chromium, 23", "potassium, 21"})
    void findsMostOthersWhenTheyAreMadeToInterchange(String study, int atLeast) {
        double[] first = withoutLast(column(study, 1));
        double[] second = withoutLast(column(study, 2));
        int found = 0;
        for (int k = 0; k < first.length; k++) {
            double[] a = first.clone();
            double[] b = second.clone();
            a[k] = second[k];
            b[k] = first[k];
            List<MaterialsExchanged.Odds> named = MaterialsExchanged.find(a, b, FALSE_ALARM);
            assertThat(named).as("laboratory %d", k).allMatch(odds -> first[odds.index()] == b[odds.index()]);
            found += named.size();
        }
        assertThat(found).isGreaterThanOrEqualTo(atLeast);
    }

    /**
     * Nobody interchanged: laboratories drawn again with replacement, and the two materials' results dealt to laboratories anew. The
     * stated chance of naming any is 5 %; 2,000 studies of each kind may then give 139 (four standard errors above 100).
     */
    @ParameterizedTest
    @ValueSource(strings = {"chromium", "potassium"})
    void keepsItsChanceOfAFalseAlarm(String study) {
        double[] first = withoutLast(column(study, 1));
        double[] second = withoutLast(column(study, 2));
        SplittableRandom random = new SplittableRandom(20261125);
        int n = first.length;
        int drawn = 0;
        int dealt = 0;
        for (int trial = 0; trial < 2000; trial++) {
            double[] a = new double[n];
            double[] b = new double[n];
            for (int i = 0; i < n; i++) {
                int from = random.nextInt(n);
                a[i] = first[from];
                b[i] = second[from];
            }
            drawn += MaterialsExchanged.find(a, b, FALSE_ALARM).isEmpty() ? 0 : 1;
            double[] shuffled = second.clone();
            for (int i = n - 1; i > 0; i--) {
                swap(shuffled, i, random.nextInt(i + 1));
            }
            dealt += MaterialsExchanged.find(first, shuffled, FALSE_ALARM).isEmpty() ? 0 : 1;
        }
        assertThat(drawn).as("laboratories drawn again").isLessThan(139);
        assertThat(dealt).as("pairs dealt anew").isLessThan(139);
    }

    /** Replicates of one material have no order to interchange; every two replicates of every element of the crab-tissue study. */
    @Test
    void findsNothingBetweenReplicatesOfOneMaterial() {
        Map<String, double[][]> laboratories = new LinkedHashMap<>();
        int replicates = 5;
        int elements = 8;
        Map<String, Integer> times = new LinkedHashMap<>();
        for (String[] row : rows("crab-tissue")) {
            int replicate = times.merge(row[0], 1, Integer::sum) - 1;
            double[][] its = laboratories.computeIfAbsent(row[0], lab -> new double[elements][replicates]);
            for (int element = 0; element < elements; element++) {
                its[element][replicate] =
                        row[element + 1].equals("NA") ? Double.NaN : Double.parseDouble(row[element + 1]);
            }
        }
        int studies = 0;
        for (int element = 0; element < elements; element++) {
            int of = element;
            for (int one = 0; one < replicates; one++) {
                for (int other = one + 1; other < replicates; other++) {
                    int a = one;
                    int b = other;
                    List<double[]> pairs = laboratories.values().stream()
                            .map(its -> new double[] {its[of][a], its[of][b]})
                            // 0 stands for a replicate that was not made.
                            .filter(pair -> pair[0] > 0 && pair[1] > 0)
                            .toList();
                    if (pairs.size() >= MaterialsExchanged.FEWEST) {
                        studies++;
                        assertThat(MaterialsExchanged.find(
                                        pairs.stream()
                                                .mapToDouble(pair -> pair[0])
                                                .toArray(),
                                        pairs.stream()
                                                .mapToDouble(pair -> pair[1])
                                                .toArray(),
                                        FALSE_ALARM))
                                .as("element %d, replicates %d and %d", element, one, other)
                                .isEmpty();
                    }
                }
            }
        }
        assertThat(studies).isGreaterThanOrEqualTo(40);
    }

    @Test
    void refusesWhatCannotBeJudged() {
        assertThatThrownBy(() -> MaterialsExchanged.odds(new double[7], new double[7]))
                .hasMessageContaining("8 laboratories or more");
        // Pairs on one line leave nothing to judge by.
        double[] line = {1, 2, 3, 4, 5, 6, 7, 8, 9};
        assertThat(MaterialsExchanged.odds(line, line)).isEmpty();
    }

    private static void swap(double[] values, int i, int j) {
        double kept = values[i];
        values[i] = values[j];
        values[j] = kept;
    }
}
