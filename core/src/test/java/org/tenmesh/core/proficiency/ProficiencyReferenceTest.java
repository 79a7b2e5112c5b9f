package org.tenmesh.core.proficiency;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.quantity.Unit;

class ProficiencyReferenceTest {
    private static final OptionalDouble NONE = OptionalDouble.empty();

    private static OptionalDouble some(double value) {
        return OptionalDouble.of(value);
    }

    private static RoundResult result(
            String round, String date, Assigned assigned, OptionalDouble ownU, Double... own) {
        return new RoundResult(
                round,
                LocalDate.parse(date),
                "S1",
                "mehlich3-icp",
                "P",
                Unit.MILLIGRAM_PER_KILOGRAM,
                assigned,
                List.of(own),
                ownU);
    }

    /** A round whose score is z, in standard deviations of 1 about 50. */
    private static RoundResult scoring(String round, String date, double z) {
        return result(round, date, new Assigned(50, NONE, some(1), OptionalInt.empty()), NONE, 50 + z);
    }

    /** Worked by hand: x 10.5, X 10, sigma 0.25, u(X) 0.1, u(x) 0.2, U doubled. 0.1 is above 0.3 times 0.25, so z' decides. */
    @Test
    void scoresOfTheWorkedNumbers() {
        Scored scored = Scored.of(result(
                "1", "2026-03-01", new Assigned(10, some(0.1), some(0.25), OptionalInt.of(20)), some(0.2), 10.5));
        assertThat(scored.z().getAsDouble()).isCloseTo(2.0, within(1e-12));
        assertThat(scored.zPrime().getAsDouble()).isCloseTo(1.85695, within(5e-6));
        assertThat(scored.zeta().getAsDouble()).isCloseTo(2.23607, within(5e-6));
        assertThat(scored.en().getAsDouble()).isCloseTo(1.11803, within(5e-6));
        assertThat(scored.decidedBy()).contains(Scored.Kind.Z_PRIME);
        assertThat(scored.verdict()).contains(Scored.Verdict.SATISFACTORY);
        assertThat(scored.fitsUncertainty()).contains(false);
    }

    @ParameterizedTest
    @CsvSource({"0.075, Z", "0.0751, Z_PRIME", "0, Z"})
    void theAssignedValuesUncertaintyCountsFromThreeTenths(double u, Scored.Kind kind) {
        Scored scored = Scored.of(
                result("1", "2026-03-01", new Assigned(10, some(u), some(0.25), OptionalInt.empty()), NONE, 10.5));
        assertThat(scored.decidedBy()).contains(kind);
    }

    @Test
    void withoutASetSpreadTheUncertaintiesDecideAndWithNeitherNothingDoes() {
        Assigned reference = new Assigned(10, some(0.1), NONE, OptionalInt.empty());
        assertThat(Scored.of(result("1", "2026-03-01", reference, some(0.2), 10.5))
                        .decidedBy())
                .contains(Scored.Kind.ZETA);
        Scored none = Scored.of(result("1", "2026-03-01", reference, NONE, 10.5));
        assertThat(none.decidedBy()).isEmpty();
        assertThat(none.verdict()).isEmpty();
        assertThat(none.fitsUncertainty()).isEmpty();
    }

    @ParameterizedTest
    @CsvSource({
        "2, SATISFACTORY",
        "-2, SATISFACTORY",
        "2.001, WARNING",
        "-2.999, WARNING",
        "3, ACTION",
        "-3, ACTION",
        "40, ACTION"
    })
    void limitsAreTwoAndThree(double z, Scored.Verdict verdict) {
        assertThat(Scored.of(scoring("1", "2026-03-01", z)).verdict()).contains(verdict);
    }

    /**
     * Creosote: cell means of the example of ISO 5725-5:1998 (data as carried by the R package metRology); the settled answer with the
     * factors as printed was computed apart from this program.
     */
    @Test
    void participantsMakeAnAssignedValue() {
        double[] creosote = {24.14, 20.155, 19.5, 20.3, 20.705, 17.57, 20.1, 20.94, 21.185};
        Assigned assigned = Assigned.ofParticipants(creosote, 0.005, NONE);
        assertThat(assigned.value()).isCloseTo(20.412143, within(5e-7));
        assertThat(assigned.sigma().getAsDouble()).isCloseTo(1.069840, within(5e-7));
        assertThat(assigned.standardU().getAsDouble()).isCloseTo(1.25 * 1.069840 / 3, within(5e-7));
        assertThat(assigned.laboratories()).hasValue(9);
        // A spread set beforehand stands; the uncertainty is still that of the participants.
        Assigned set = Assigned.ofParticipants(creosote, 0.005, some(0.8));
        assertThat(set.sigma()).hasValue(0.8);
        assertThat(set.standardU()).isEqualTo(assigned.standardU());
        assertThatThrownBy(() -> Assigned.ofParticipants(new double[] {1, 2, 3, 4}, 0, NONE))
                .hasMessageContaining("5 participants or more, found 4");
    }

    /** Half the laboratories and more report pH 6.5: the robust spread is 0, and one step off would be an action without a floor. */
    @Test
    void roundedValuesHaveAFloor() {
        double[] ph = {6.5, 6.5, 6.5, 6.5, 6.5, 6.5, 6.4, 6.6, 6.6};
        Assigned assigned = Assigned.ofParticipants(ph, 0.1, NONE);
        assertThat(assigned.value()).isEqualTo(6.5);
        // 0.1 / (2 x 0.67449), by hand.
        assertThat(assigned.sigma().getAsDouble()).isCloseTo(0.0741301, within(5e-8));
        assertThat(Scored.of(result("1", "2026-03-01", assigned, NONE, 6.6)).verdict())
                .contains(Scored.Verdict.SATISFACTORY);
        assertThat(Scored.of(result("1", "2026-03-01", assigned, NONE, 6.8)).verdict())
                .contains(Scored.Verdict.ACTION);
        // All alike and not rounded: no spread, so no score.
        double[] alike = new double[9];
        Arrays.fill(alike, 6.5);
        assertThat(Assigned.ofParticipants(alike, 0, NONE).sigma()).isEmpty();
    }

    @Test
    void theProvidersNumberOfLaboratoriesGivesTheUncertaintyItLeavesOut() {
        assertThat(Assigned.stated(50, NONE, some(2), OptionalInt.of(25))
                        .standardU()
                        .getAsDouble())
                .isCloseTo(0.5, within(1e-12));
        assertThat(Assigned.stated(50, some(0.3), some(2), OptionalInt.of(25)).standardU())
                .hasValue(0.3);
        assertThat(Assigned.stated(50, NONE, NONE, OptionalInt.of(25)).standardU())
                .isEmpty();
        assertThatThrownBy(() -> new Assigned(50, NONE, some(0), OptionalInt.empty()))
                .hasMessageContaining("above 0");
    }

    private static List<Action> actions(double... z) {
        List<RoundResult> results = new ArrayList<>();
        for (int i = 0; i < z.length; i++) {
            results.add(scoring(
                    "r" + (i + 1), LocalDate.of(2026, 1, 1).plusDays(90L * i).toString(), z[i]));
        }
        return Series.of(results).get(0).actions();
    }

    @Test
    void oneBeyondThreeOpensAnActionWithALookBack() {
        List<Action> actions = actions(0.4, -2.4, -3.2);
        assertThat(actions).hasSize(1);
        Action action = actions.get(0);
        assertThat(action.rule()).isEqualTo(Action.Rule.BEYOND_3);
        assertThat(action.worst()).isCloseTo(-3.2, within(1e-9));
        // The round before was not good: the look-back reaches the first.
        assertThat(action.lastGood().map(Action.GoodRound::round)).contains("r1");
        assertThat(action.lookBackDays()).hasValue(180);
        assertThat(action.whatToDo()).contains("every P by mehlich3-icp", "since round r1 of 2026-01-01");
    }

    @Test
    void twoInARowBeyondTwoOpenOneOnTheSameSideOnly() {
        assertThat(actions(0.1, 2.3, 2.1)).extracting(Action::rule).containsExactly(Action.Rule.TWO_BEYOND_2);
        assertThat(actions(0.1, -2.3, -2.1)).extracting(Action::round).containsExactly("r3");
        assertThat(actions(0.1, 2.3, -2.1)).isEmpty();
        assertThat(actions(0.1, 2.3, 0, 2.1)).isEmpty();
        assertThat(actions(2.0, 2.0, -2.0)).isEmpty();
    }

    @Test
    void withoutAGoodRoundEverythingIsInQuestion() {
        Action action = actions(5).get(0);
        assertThat(action.lookBackDays()).isEmpty();
        assertThat(action.whatToDo()).contains("since the beginning");
    }

    @Test
    void aBadSeriesKeepsItsLastGoodRound() {
        assertThat(actions(0, 3.5, 3.5, 0.2, -4))
                .extracting(action -> action.lastGood().map(Action.GoodRound::round))
                .containsExactly(Optional.of("r1"), Optional.of("r1"), Optional.of("r4"));
    }

    /** Bias by hand: scores 1, 2, 3 have mean 2, standard deviation 1; t(0.975; 2) = 4.3027, limit 4.3027 / sqrt(3) = 2.4841. */
    @Test
    void biasBesidePrecision() {
        Assigned assigned = new Assigned(50, NONE, some(1), OptionalInt.empty());
        Series series = Series.of(List.of(
                        result("c", "2026-09-01", assigned, NONE, 52.0, 53.0, 54.0),
                        result("a", "2026-03-01", assigned, NONE, 50.0, 52.0),
                        result("b", "2026-06-01", assigned, NONE, 52.0)))
                .get(0);
        assertThat(series.scores()).containsExactly(new double[] {1, 2, 3}, within(1e-9));
        assertThat(series.meanScore().getAsDouble()).isCloseTo(2, within(1e-9));
        assertThat(series.meanScoreLimit().getAsDouble()).isCloseTo(2.4841, within(5e-5));
        // Sums of squares 2 and 2 with 1 and 2 degrees of freedom: sqrt(4 / 3).
        assertThat(series.replicateSd().getAsDouble()).isCloseTo(Math.sqrt(4 / 3.0), within(1e-9));
    }

    /** Arithmetic of the handbook's form by hand: biases of 3 and -1 %, u 1.5 and 1.5 %: rms sqrt(5) = 2.23607, u sqrt(5 + 2.25). */
    @Test
    void biasFeedsUncertainty() {
        List<RoundResult> rounds = List.of(
                result("a", "2026-03-01", new Assigned(100, some(1.5), some(5), OptionalInt.empty()), NONE, 103.0),
                result("b", "2026-06-01", new Assigned(200, some(3), some(5), OptionalInt.empty()), NONE, 198.0));
        Bias percent = Bias.of(rounds, Bias.Scale.PERCENT);
        assertThat(percent.mean()).isCloseTo(1, within(1e-9));
        assertThat(percent.rms()).isCloseTo(2.23607, within(5e-6));
        assertThat(percent.referenceU().getAsDouble()).isCloseTo(1.5, within(1e-9));
        assertThat(percent.standardU().getAsDouble()).isCloseTo(2.69258, within(5e-6));
        assertThat(Bias.of(rounds, Bias.Scale.UNIT).rms()).isCloseTo(Math.sqrt(6.5), within(1e-9));
        assertThat(Bias.of(List.of(scoring("a", "2026-03-01", 1)), Bias.Scale.UNIT)
                        .standardU())
                .isEmpty();
        assertThatThrownBy(() -> Bias.of(List.of(), Bias.Scale.UNIT)).hasMessageContaining("one result or more");
    }
}
