package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadElsewhere;
import org.tenmesh.core.desk.Rulings;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.redo.Answers;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** What was read again on the same day is held against the reading before; it does not take its place before anything is asked. */
class ReadAgainTest {
    private static final int TRAY = 5;
    private static final String FIRST = "loi-1";

    private final TwoMethods table = new TwoMethods(7);
    private final int[] tray = TwoMethods.wells(TRAY);

    private static int[] turned(int[] tray) {
        return IntStream.range(0, tray.length)
                .map(i -> tray[tray.length - 1 - i])
                .toArray();
    }

    /** The tray weighed once more, two hours after the first run began; every soil loses a little more this time. */
    private Run again(String name, int[] soils) {
        Bench bench = new Bench(name, Bench.LOI).weigh(Role.CONTROL, "LOAM", 20, 25, 24.8);
        for (int i = 0; i < tray.length; i++) {
            bench.weigh(Role.SAMPLE, TwoMethods.lab(tray[i]).text(), 20, 25, 24.9995 - 5 * table.loss[soils[i]] / 100);
        }
        Run run = bench.run();
        return new Run(name, run.method(), run.instrument(), run.operator(), Bench.START.plusHours(2), run.readings());
    }

    private static Day with(Day day, Run... more) {
        List<Run> runs = new ArrayList<>(day.runs());
        runs.addAll(List.of(more));
        return new Day(
                day.laboratory(),
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                runs);
    }

    private void turnFirst() {
        int[] other = turned(tray);
        for (int i = 0; i < tray.length; i++) {
            table.inFurnace[tray[i]] = other[i];
        }
    }

    private static List<Cause> turnedTrays(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.TRAY_TURNED)
                .toList();
    }

    private Set<LabNumber> soilsOfTheTray() {
        return Arrays.stream(tray).mapToObj(TwoMethods::lab).collect(Collectors.toSet());
    }

    @ParameterizedTest
    @ValueSource(strings = {"a-again", "z-again"})
    void aTrayThatWasTurnedStaysTurnedWhenItWasReadAgain(String name) {
        turnFirst();
        Day day = with(table.day(), again(name, tray));
        JudgedDay judged = DayJudge.judge(day, Bench.METHODS);

        Cause cause = turnedTrays(judged).get(0);
        assertThat(turnedTrays(judged)).hasSize(1);
        assertThat(cause.runs()).containsExactly(FIRST);
        assertThat(cause.labNumbers()).isEqualTo(soilsOfTheTray());
        assertThat(cause.verdict()).isEqualTo(Verdict.REDO);

        Answer answer = Answers.of(day, judged).get(0);
        assertThat(answer.cause()).isEqualTo(cause.id());
        assertThat(answer.said()).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(answer.compared()).isEqualTo(2 * tray.length);

        Standing standing = Standing.of(day, judged, Bench.METHODS);
        Map<Result, String> why = standing.reasons(day);
        for (int i : tray) {
            Result stands =
                    standing.of(TwoMethods.lab(i), Bench.LOI.id(), "LOI").orElseThrow();
            assertThat(stands.run()).isEqualTo(name);
            assertThat(stands.verdict()).isEqualTo(Verdict.FIT);
            Result replaced = standing.superseded().stream()
                    .filter(one -> one.labNumber().equals(TwoMethods.lab(i))
                            && one.analyte().equals("LOI"))
                    .findFirst()
                    .orElseThrow();
            assertThat(replaced.run()).isEqualTo(FIRST);
            assertThat(replaced.verdict()).isEqualTo(Verdict.REDO);
            assertThat(replaced.causes()).contains(cause.id());
            assertThat(why.get(replaced)).isEqualTo("Run " + name + " stands. This reading was to be made again.");
        }
    }

    /** Every soil weighed once more, on two balances in turn, of which the first may read more. */
    private Run allAgain(String name, double ofFirst) {
        Bench bench = new Bench(name, Bench.LOI);
        List.of("1", "2").forEach(one -> bench.under(one).weigh(Role.CONTROL, "LOAM", 20, 25, 24.8));
        for (int i = 0; i < TwoMethods.SOILS; i++) {
            double loss = table.loss[i] * (i % 2 == 0 ? ofFirst : 1);
            bench.under(i % 2 == 0 ? "1" : "2")
                    .weigh(Role.SAMPLE, TwoMethods.lab(i).text(), 20, 25, 25 - 5 * loss / 100);
        }
        Run run = bench.run();
        return new Run(name, run.method(), run.instrument(), run.operator(), Bench.START.plusHours(2), run.readings());
    }

    private static List<Cause> balances(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.CHANNEL_BIAS)
                .toList();
    }

    @Test
    void aBalanceThatReadOnlyRedosIsAskedToo() {
        assertThat(balances(DayJudge.judge(with(table.day(), allAgain("loi-2", 1.1)), Bench.METHODS)))
                .singleElement()
                .satisfies(cause -> assertThat(cause.runs()).containsExactly("loi-2"));
        assertThat(balances(DayJudge.judge(with(table.day(), allAgain("loi-2", 1)), Bench.METHODS)))
                .isEmpty();
    }

    @Test
    void aBalanceThatReadApartStaysNamedWhenItsSoilsWereReadAgain() {
        double[] unbiased = table.loss.clone();
        for (int i = 0; i < TwoMethods.SOILS; i++) {
            table.balance[i] = i % 2 == 0 ? "1" : "2";
            table.loss[i] *= i % 2 == 0 ? 1.1 : 1;
        }
        Day first = table.day();
        System.arraycopy(unbiased, 0, table.loss, 0, unbiased.length);
        JudgedDay judged = DayJudge.judge(with(first, allAgain("loi-2", 1)), Bench.METHODS);
        assertThat(balances(judged))
                .singleElement()
                .satisfies(cause -> assertThat(cause.runs()).containsExactly(FIRST));
        assertThat(judged.differences())
                .as("differences are those of first readings")
                .filteredOn(one -> one.kind().equals("channel") && one.group().endsWith(" 1"))
                .singleElement()
                .satisfies(one -> assertThat(one.size()).isBetween(0.3, 0.5));
    }

    @Test
    void aTrayReadAgainTheNextDayAnswersTheCauseOfTheDayBefore() {
        turnFirst();
        Day day = table.day();
        Run again = again(FIRST, tray);
        Day next = day.withRuns(List.of(new Run(
                FIRST,
                again.method(),
                again.instrument(),
                again.operator(),
                Bench.START.plusDays(1),
                again.readings())));
        ReadElsewhere read = ReadElsewhere.of(
                "2026-11-26",
                next,
                Rulings.of(DayJudge.judge(next, Bench.METHODS), List.of()),
                day.soils().stream().map(Soil::labNumber).toList());
        Desk desk = new Desk(
                "2026-11-25",
                1,
                day,
                DayJudge.judge(day, Bench.METHODS),
                Bench.METHODS,
                List.of(),
                List.of(),
                LocalDate.of(2026, 11, 26),
                List.of(read),
                List.of(),
                new DerivedSoils());

        assertThat(desk.answers()).hasSize(1);
        assertThat(desk.answers().get(0).kind()).isEqualTo(CauseKind.TRAY_TURNED);
        assertThat(desk.answers().get(0).said()).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(desk.answers().get(0).compared()).isEqualTo(2 * tray.length);
    }

    @Test
    void theCauseIsTheSameBeforeAndAfterItWasReadAgain() {
        turnFirst();
        Day before = table.day();
        Cause alone = turnedTrays(DayJudge.judge(before, Bench.METHODS)).get(0);
        Cause after = turnedTrays(DayJudge.judge(with(before, again("loi-2", tray)), Bench.METHODS))
                .get(0);
        assertThat(after.key()).isEqualTo(alone.key());
        assertThat(after.evidenceDigest()).isEqualTo(alone.evidenceDigest());
    }

    @Test
    void whatIsReadAgainMayBeTurnedItself() {
        Day day = with(table.day(), again("loi-2", turned(tray)));
        List<Cause> causes = turnedTrays(DayJudge.judge(day, Bench.METHODS));
        assertThat(causes).hasSize(1);
        assertThat(causes.get(0).runs()).containsExactly("loi-2");
        assertThat(causes.get(0).labNumbers()).isEqualTo(soilsOfTheTray());
    }

    @Test
    void aTrayTurnedTwiceIsToldOfBothRuns() {
        turnFirst();
        Day day = with(table.day(), again("loi-2", turned(tray)));
        Set<String> runs = new HashSet<>();
        turnedTrays(DayJudge.judge(day, Bench.METHODS)).forEach(cause -> runs.addAll(cause.runs()));
        assertThat(runs).containsExactlyInAnyOrder(FIRST, "loi-2");
    }

    @Test
    void aSoilReadAgainUnchangedChangesNothing() {
        JudgedDay judged = DayJudge.judge(with(table.day(), again("loi-2", tray)), Bench.METHODS);
        assertThat(judged.causes()).isEmpty();
        assertThat(judged.results()).allMatch(result -> result.verdict() == Verdict.FIT);
    }

    @Test
    void aDayJudgedBeforeGivesTheSameWhenMoreWasReadSince() {
        turnFirst();
        Day before = table.day();
        Day after = with(before, again("loi-2", tray));
        DayStage first = DayJudge.judge(before, Bench.METHODS, EarlierSoils.NONE, Stages.NONE);
        DayStage then = DayJudge.judge(after, Bench.METHODS, EarlierSoils.NONE, first.stages());
        assertThat(then.judged()).isEqualTo(DayJudge.judge(after, Bench.METHODS));
    }
}
