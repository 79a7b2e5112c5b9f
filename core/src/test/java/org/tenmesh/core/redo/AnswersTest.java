package org.tenmesh.core.redo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

/** Every result states 2 mg/kg, so its standard uncertainty is 1 and that of a difference of two the root of 2; five degrees of freedom. */
class AnswersTest {
    private static final OffsetDateTime START = OffsetDateTime.parse("2026-11-25T09:00:00Z");
    private static final String METHOD = "own-method";

    private final List<Result> results = new ArrayList<>();

    private static LabNumber lab(int i) {
        return LabNumber.of(LocalDate.of(2026, 11, 25), i);
    }

    private static Result result(String run, int soil, String analyte, double value, Verdict verdict) {
        return new Result(
                lab(soil),
                METHOD,
                LocalDate.of(2026, 3, 1),
                analyte,
                run,
                soil,
                "",
                new Amount.Measured(value, Unit.MILLIGRAM_PER_KILOGRAM),
                Double.toString(value),
                OptionalDouble.of(2),
                verdict,
                List.of());
    }

    private AnswersTest read(String run, Verdict verdict, double... values) {
        for (int soil = 1; soil <= values.length; soil++) {
            results.add(result(run, soil, "P", values[soil - 1], verdict));
        }
        return this;
    }

    private static Run run(String name, int hours) {
        return new Run(
                name,
                METHOD,
                "instrument",
                Optional.empty(),
                START.plusHours(hours),
                Readings.builder().build());
    }

    private Answer of(CauseKind kind) {
        List<Tray.Place> wells = new ArrayList<>();
        for (int w = 0; w < Well.PER_TRAY; w++) {
            wells.add(new Tray.Place(new Well(w), Optional.of(lab(w + 1)), Tray.Purpose.SOIL));
        }
        List<Result> first =
                results.stream().filter(one -> one.run().equals("first")).toList();
        Stretch stretch = new Stretch(
                "first",
                METHOD,
                Verdict.REDO,
                List.of("P"),
                1,
                first.size(),
                first.stream().map(ResultKey::of).toList(),
                "made up");
        Cause cause = Cause.of(
                kind, "first", List.of(stretch), "Read again.", OptionalDouble.empty(), Optional.empty(), first);
        Day day = new Day(
                Laboratory.unnamed(),
                List.of(),
                List.of(),
                List.of(new Tray("T1", wells)),
                Map.of(),
                List.of(),
                List.of(),
                List.of(run("again", 5), run("first", 1), run("before", 0)));
        List<Answer> answers = Answers.of(day, new JudgedDay(results, List.of(cause), List.of(), List.of()));
        assertThat(answers).hasSize(1);
        assertThat(answers.get(0).cause()).isEqualTo(cause.id());
        return answers.get(0);
    }

    @Test
    void neighboursThatReadLikeEachOtherAfterwardsWereExchanged() {
        // By hand: 0.5 off is z² = 0.125, 9.5 off is 45.125; twice 3 log10((1 + 45.125/5) / (1 + 0.125/5)) = 5.942.
        Answer answer = read("first", Verdict.REDO, 10, 20)
                .read("again", Verdict.FIT, 19.5, 10.5)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        assertThat(answer.said()).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(answer.log10Ratio()).isCloseTo(5.942, within(0.001));
        assertThat(answer.compared()).isEqualTo(2);
        assertThat(answer.changed()).isEqualTo(2);
        assertThat(answer.sentence())
                .isEqualTo(
                        "2 of 2 results read again: the new readings are 10⁶ times likelier put right as the cause says than"
                                + " as first recorded; 20 times decide.");
    }

    private void overRange(int soil, double limit, double raw) {
        results.add(new Result(
                lab(soil),
                METHOD,
                LocalDate.of(2026, 3, 1),
                "P",
                "first",
                soil,
                "",
                new Amount.Above(limit, raw, Unit.MILLIGRAM_PER_KILOGRAM),
                "> " + limit,
                OptionalDouble.empty(),
                Verdict.REDO,
                List.of()));
    }

    @Test
    void whatLiesAboveTheRangeWhenItIsDilutedWasOverRange() {
        // Three standard uncertainties above the end of the range: 0.99865 of the normal distribution to 0.0013499
        // (printed tables), log10 of
        // the ratio 2.869.
        overRange(1, 50, 60);
        Answer answer = read("again", Verdict.FIT, 53).of(CauseKind.OVER_RANGE);
        assertThat(answer.said()).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(answer.log10Ratio()).isCloseTo(2.869, within(0.001));
        assertThat(answer.compared()).isEqualTo(1);
        assertThat(answer.changed()).isEqualTo(1);
    }

    @Test
    void whatLiesWithinTheRangeWhenItIsDilutedWasNot() {
        overRange(1, 50, 60);
        Answer answer = read("again", Verdict.FIT, 47).of(CauseKind.OVER_RANGE);
        assertThat(answer.said()).isEqualTo(Answer.Said.REFUTED);
        assertThat(answer.log10Ratio()).isCloseTo(-2.869, within(0.001));
        assertThat(answer.changed()).isZero();
    }

    @Test
    void neighboursThatReadAsBeforeWereNot() {
        Answer answer = read("first", Verdict.REDO, 10, 20)
                .read("again", Verdict.FIT, 10.5, 19.5)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        assertThat(answer.said()).isEqualTo(Answer.Said.REFUTED);
        assertThat(answer.log10Ratio()).isCloseTo(-5.942, within(0.001));
        assertThat(answer.changed()).isZero();
    }

    @Test
    void alikeNeighboursAreNotDecided() {
        Answer answer = read("first", Verdict.REDO, 10, 10.4)
                .read("again", Verdict.FIT, 10.2, 10.2)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        assertThat(answer.said()).isEqualTo(Answer.Said.UNDECIDED);
        assertThat(answer.log10Ratio()).isCloseTo(0, within(1e-9));
    }

    @Test
    void readingsLikeNeitherValueSaySo() {
        Answer answer = read("first", Verdict.REDO, 10, 20)
                .read("again", Verdict.FIT, 60, 55)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        assertThat(answer.said()).isEqualTo(Answer.Said.UNDECIDED);
        assertThat(answer.sentence())
                .contains("agree neither with the values as first recorded nor with those put right");
    }

    @Test
    void aTurnedTrayIsHeldAgainstTheOppositeWells() {
        double[] first = new double[Well.PER_TRAY];
        double[] again = new double[Well.PER_TRAY];
        for (int w = 0; w < first.length; w++) {
            first[w] = 10 + 5 * w;
            again[Well.PER_TRAY - 1 - w] = first[w] + 0.3;
        }
        assertThat(read("first", Verdict.REDO, first)
                        .read("again", Verdict.FIT, again)
                        .of(CauseKind.TRAY_TURNED)
                        .said())
                .isEqualTo(Answer.Said.CONFIRMED);
    }

    @Test
    void aShiftIsFoundInEitherDirection() {
        double[] first = {10, 30, 50, 70, 90};
        assertThat(read("first", Verdict.REDO, first)
                        .read("again", Verdict.FIT, 30, 50, 70, 90, 110)
                        .of(CauseKind.RUN_SHIFTED)
                        .said())
                .isEqualTo(Answer.Said.CONFIRMED);
        results.clear();
        assertThat(read("first", Verdict.REDO, first)
                        .read("again", Verdict.FIT, 0, 10, 30, 50, 70)
                        .of(CauseKind.RUN_SHIFTED)
                        .said())
                .isEqualTo(Answer.Said.CONFIRMED);
        results.clear();
        assertThat(read("first", Verdict.REDO, first)
                        .read("again", Verdict.FIT, first)
                        .of(CauseKind.RUN_SHIFTED)
                        .said())
                .isEqualTo(Answer.Said.REFUTED);
    }

    @Test
    void aMistakeThatStatesNoValueIsKnownByTheChange() {
        // By hand: 20 off is z² = 200; 3 log10(1 + 200/5) - 3 log10(1 + 200/26/5) - log10(26)/2 = 2.916.
        Answer changed =
                read("first", Verdict.HOLD, 10).read("again", Verdict.FIT, 30).of(CauseKind.PORTION_WRONG);
        assertThat(changed.said()).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(changed.log10Ratio()).isCloseTo(2.916, within(0.002));
        assertThat(changed.changed()).isEqualTo(1);
        results.clear();
        // One unchanged result is 5.1 times likelier without the mistake, two are 26 times.
        Answer one =
                read("first", Verdict.HOLD, 10).read("again", Verdict.FIT, 10).of(CauseKind.PORTION_WRONG);
        assertThat(one.said()).isEqualTo(Answer.Said.UNDECIDED);
        assertThat(one.log10Ratio()).isCloseTo(-Math.log10(Math.sqrt(26)), within(1e-9));
        results.clear();
        assertThat(read("first", Verdict.HOLD, 10, 12)
                        .read("again", Verdict.FIT, 10, 12)
                        .of(CauseKind.PORTION_WRONG)
                        .said())
                .isEqualTo(Answer.Said.REFUTED);
    }

    @Test
    void onlyFitReadingsThatCameLaterAnswer() {
        Answer answer = read("before", Verdict.FIT, 20, 10)
                .read("first", Verdict.REDO, 10, 20)
                .read("again", Verdict.HOLD, 20, 10)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        assertThat(answer.said()).isEqualTo(Answer.Said.OPEN);
        assertThat(answer.compared()).isZero();
    }

    @Test
    void answersAreCountedByKind() {
        Answer yes = read("first", Verdict.REDO, 10, 20)
                .read("again", Verdict.FIT, 19.5, 10.5)
                .of(CauseKind.NEIGHBOURS_EXCHANGED);
        results.clear();
        Answer no = read("first", Verdict.HOLD, 10, 12)
                .read("again", Verdict.FIT, 10, 12)
                .of(CauseKind.PORTION_WRONG);
        assertThat(Answer.byKind(List.of(yes, no, yes)))
                .containsEntry(CauseKind.NEIGHBOURS_EXCHANGED, new Answer.Count(2, 0, 0, 0, 4, 4))
                .containsEntry(CauseKind.PORTION_WRONG, new Answer.Count(0, 1, 0, 0, 2, 0));
    }
}
