package org.tenmesh.core.proficiency;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.quantity.Unit;

/**
 * The same two published studies, each laboratory in turn taken for ours and the others for the participants; sources in
 * reference/exchanged-materials/README.md.
 */
class SamplesExchangedReferenceTest {
    private static List<RoundResult> round(String study, int ours) {
        List<RoundResult> round = new ArrayList<>();
        for (int material = 1; material <= 2; material++) {
            double[] all = MaterialsExchangedReferenceTest.column(study, material);
            double[] others = new double[all.length - 1];
            for (int i = 0; i < others.length; i++) {
                others[i] = all[i < ours ? i : i + 1];
            }
            round.add(result(
                    "material " + material,
                    study,
                    all[ours],
                    Assigned.ofParticipants(others, 0, OptionalDouble.empty())));
        }
        return round;
    }

    private static RoundResult result(String sample, String analyte, double value, Assigned assigned) {
        return new RoundResult(
                "1",
                LocalDate.of(2026, 11, 25),
                sample,
                "published",
                analyte,
                Unit.MILLIGRAM_PER_KILOGRAM,
                assigned,
                List.of(value),
                OptionalDouble.empty());
    }

    /** Of chromium the two materials lie only 1.6 standard deviations apart: there it takes the others' pairs to tell. */
    @ParameterizedTest
    @CsvSource({"chromium, -1", "potassium, 24"})
    void theOneLaboratoryFindsItOutFromItsOwnScores(String study, int row) {
        int laboratories = MaterialsExchangedReferenceTest.column(study, 1).length;
        for (int ours = 0; ours < laboratories; ours++) {
            List<SamplesExchanged> found = SamplesExchanged.find(round(study, ours));
            if (ours == row) {
                assertThat(found).hasSize(1);
                assertThat(found.get(0).sentence())
                        .startsWith("Samples material 1 and material 2 of round 1 seem to have been exchanged");
            } else {
                assertThat(found).as("laboratory %d of %s", ours, study).isEmpty();
            }
        }
    }

    /** A round of four samples in which two were exchanged in one method: the pair and the method are named, no other. */
    @Test
    void namesThePairAndTheMethod() {
        double[] ph = {5.2, 6.1, 6.9, 7.6};
        double[] k = {80, 140, 210, 320};
        int[] from = {0, 2, 1, 3};
        List<RoundResult> round = new ArrayList<>();
        for (int s = 0; s < 4; s++) {
            Assigned acidity = new Assigned(ph[s], OptionalDouble.empty(), OptionalDouble.of(0.1), OptionalInt.empty());
            Assigned potassium =
                    new Assigned(k[s], OptionalDouble.empty(), OptionalDouble.of(0.06 * k[s]), OptionalInt.empty());
            round.add(result("S" + s, "K", 1.03 * k[s], potassium));
            RoundResult plain = result("S" + s, "pH", ph[from[s]] + 0.03, acidity);
            round.add(new RoundResult(
                    plain.round(),
                    plain.date(),
                    plain.sample(),
                    "water",
                    "pH",
                    Unit.PH,
                    acidity,
                    plain.own(),
                    OptionalDouble.empty()));
        }
        List<SamplesExchanged> found = SamplesExchanged.find(round);
        assertThat(found).hasSize(1);
        assertThat(found.get(0).methods()).containsExactly("water");
        assertThat(List.of(found.get(0).first(), found.get(0).second())).containsExactly("S1", "S2");
    }

    /** Biased alike in both, or wild in one: not exchanged. */
    @Test
    void aBiasIsNoExchange() {
        Assigned low = new Assigned(80, OptionalDouble.empty(), OptionalDouble.of(5), OptionalInt.empty());
        Assigned high = new Assigned(140, OptionalDouble.empty(), OptionalDouble.of(8), OptionalInt.empty());
        assertThat(SamplesExchanged.find(List.of(result("A", "K", 105, low), result("B", "K", 180, high))))
                .isEmpty();
        assertThat(SamplesExchanged.find(List.of(result("A", "K", 142, low), result("B", "K", 141, high))))
                .isEmpty();
    }
}
