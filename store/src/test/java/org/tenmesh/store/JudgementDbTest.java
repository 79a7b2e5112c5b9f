package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.judged.KeptJudgement;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class JudgementDbTest {
    private static final JudgedDay JUDGED = new JudgedDay(
            List.of(
                    result("26329-0001-X", new Amount.Measured(6.1234567890123, Unit.PH), Verdict.FIT, List.of()),
                    result(
                            "26329-0002-X",
                            new Amount.Below(0.15, -0.031, Unit.MILLIGRAM_PER_KILOGRAM),
                            Verdict.HOLD,
                            List.of("drift-1", "blank-high-2")),
                    result(
                            "26329-0003-X",
                            new Amount.Above(500, 612.5, Unit.MILLIGRAM_PER_KILOGRAM),
                            Verdict.REDO,
                            List.of("over")),
                    result(
                            "26329-0004-X",
                            new Amount.Saturated(Unit.MILLIGRAM_PER_KILOGRAM),
                            Verdict.REDO,
                            List.of("c1")),
                    result("26329-0006-X", new Amount.NotEnoughSoil(Unit.PERCENT), Verdict.FIT, List.of()),
                    result("26329-0007-X", new Amount.Classed("sandy clay loam", Unit.ONE), Verdict.FIT, List.of()),
                    result(
                            "26329-0008-X",
                            new Amount.Missing("no reading of line K 766.490", Unit.PERCENT),
                            Verdict.HOLD,
                            List.of("m,\"}"))),
            List.of(
                    new Cause(
                            new CauseKey(CauseKind.DRIFT, "P1", "0123456789"),
                            List.of(
                                    new Stretch(
                                            "P1",
                                            "mehlich3-icp",
                                            Verdict.REDO,
                                            List.of("K", "Ca"),
                                            11,
                                            40,
                                            List.of(
                                                    new ResultKey(new LabNumber("26329-0002-X"), "mehlich3-icp", "Ca"),
                                                    new ResultKey(new LabNumber("26329-0002-X"), "mehlich3-icp", "K")),
                                            "K fell by 7.1 %, limit 5 %",
                                            List.of(
                                                    new Measure(
                                                            Measure.Kind.CHECK_SOLUTION,
                                                            "K",
                                                            "CCV",
                                                            40,
                                                            92.87654321,
                                                            OptionalDouble.of(95),
                                                            OptionalDouble.of(105),
                                                            "%"),
                                                    Measure.upTo(
                                                            Measure.Kind.RANGE,
                                                            "Ca",
                                                            "26329-0002-X",
                                                            0,
                                                            1e300,
                                                            500.25,
                                                            ""))),
                                    new Stretch(
                                            "P1",
                                            "mehlich3-icp",
                                            Verdict.HOLD,
                                            List.of("K"),
                                            41,
                                            60,
                                            List.of(),
                                            "K, \"still\" falling")),
                            "Read positions 11 to 40 again",
                            OptionalDouble.of(4.25),
                            Optional.of(new Finding.RunnerUp(CauseKind.STANDARD_WRONG, 0.75)),
                            "0f".repeat(32)),
                    new Cause(
                            new CauseKey(CauseKind.MISSING_READING, "P1", "9876543210"),
                            List.of(new Stretch("P1", "mehlich3-icp", Verdict.HOLD, List.of(), 3, 3, List.of(), "e")),
                            "a",
                            OptionalDouble.empty(),
                            Optional.empty(),
                            "1f".repeat(32))),
            List.of(new GateOutcome(
                    "plasma-1",
                    "P1",
                    Gate.KNOWN_SOLUTIONS,
                    false,
                    "53.1",
                    "47.5 to 52.5",
                    OffsetDateTime.parse("2026-11-25T09:10:11.123+01:00"))),
            List.of(new ControlValue(
                    "P1", "mehlich3-icp", 18, "26329-0018-X", true, "LOAM-A", "K", 180.2, -1.2, List.of("3s"))),
            List.of(new GroupDifference(
                    "channel", "2", "ph-water", "pH", 0.0312345678901, 0.01, 0.05, "[pH]", 250, -7.5, true)),
            List.of(),
            List.of(low(7, OptionalDouble.empty(), -0.0123456789012), low(9, OptionalDouble.of(2), 2.25)));

    private static LowReading low(int position, OptionalDouble known, double value) {
        return new LowReading(
                "mehlich3-icp", "K", "plasma-1", LocalDate.of(2026, 11, 25), "P1", position, known, value);
    }

    private final Store store = OpenStore.get();

    @Test
    void givesBackWhatItKept() {
        String day = takenDay();
        assertThat(store.judgement(day)).isEmpty();

        store.keepJudgement(day, "digest-1", JUDGED);

        KeptJudgement everybody = store.judgement(day).orElseThrow();
        assertThat(everybody.inputsDigest()).isEqualTo("digest-1");
        assertThat(everybody.judged())
                .isEqualTo(new JudgedDay(
                        JUDGED.results(),
                        JUDGED.causes(),
                        JUDGED.gates(),
                        List.of(),
                        JUDGED.differences(),
                        List.of(),
                        JUDGED.lowReadings()));
        assertThat(store.quality().judgement(day).orElseThrow().judged()).isEqualTo(JUDGED);
        assertThat(store.judgementDigest(day)).contains("digest-1");
        assertThat(store.lowReadings("mehlich3-icp")).containsAll(JUDGED.lowReadings());
        assertThat(store.lowReadings("ph-water")).isEmpty();
    }

    @Test
    void givesNothingOfAJudgementOfWhichAPartWasNotKeptAndKeepsItAgain() throws SQLException {
        String day = takenDay();
        store.keepJudgement(day, "digest-1", JUDGED);
        OpenStore.run(store, "update judgement.kept set differences = null");
        assertThat(store.quality().judgement(day)).isEmpty();

        store.keepJudgement(day, "digest-1", JUDGED);
        assertThat(store.quality().judgement(day).orElseThrow().judged()).isEqualTo(JUDGED);

        OpenStore.run(store, "delete from judgement.low_reading where position = 9");
        assertThat(store.quality().judgement(day)).isEmpty();
        store.keepJudgement(day, "digest-1", JUDGED);
        assertThat(store.quality().judgement(day).orElseThrow().judged()).isEqualTo(JUDGED);
    }

    @Test
    void replacesItWholeWhenTheInputsAreOthersAndLeavesItWhenTheyAreTheSame() {
        String day = takenDay();
        JudgedDay less = new JudgedDay(JUDGED.results().subList(0, 1), List.of(), List.of(), List.of());
        store.keepJudgement(day, "digest-1", JUDGED);

        store.keepJudgement(day, "digest-1", less);
        assertThat(store.quality().judgement(day).orElseThrow().judged()).isEqualTo(JUDGED);

        store.keepJudgement(day, "digest-2", less);
        KeptJudgement kept = store.quality().judgement(day).orElseThrow();
        assertThat(kept.inputsDigest()).isEqualTo("digest-2");
        assertThat(kept.judged()).isEqualTo(less);
    }

    @Test
    void givesTheControlValuesOfOtherDaysWithTheirRuns() {
        Day invented = InventedDay.of(20);
        Run run = invented.runs().get(0);
        JudgedDay judged = new JudgedDay(
                List.of(),
                List.of(),
                List.of(),
                List.of(
                        new ControlValue(
                                run.run(), run.method(), 4, "LOAM-A", false, "LOAM-A", "K", 181.5, 0.1, List.of()),
                        new ControlValue(
                                run.run(),
                                run.method(),
                                18,
                                "26329-0018-X",
                                true,
                                "LOAM-A",
                                "K",
                                240.2,
                                5.2,
                                List.of("beyond-limit"))));
        String earlier = takenDay();
        String today = takenDay();
        store.keepJudgement(earlier, "digest-1", judged);
        store.keepJudgement(today, "digest-1", judged);
        Instant start = run.startedAt().toInstant();

        List<ChartValue> both = store.quality().controlHistory("", start).entries();
        List<ChartValue> without = store.quality().controlHistory(today, start).entries();
        assertThat(both).hasSize(without.size() + 2);
        assertThat(without)
                .contains(new ChartValue(
                        new ChartKey("LOAM-A", run.method(), "K", run.instrument()),
                        run.startedAt().toLocalDate(),
                        run.startedAt(),
                        run.run(),
                        18,
                        240.2,
                        true));
        assertThat(without).anyMatch(entry -> entry.position() == 4 && !entry.failed());
        assertThat(store.quality()
                        .controlHistory(today, start.plusSeconds(86_400))
                        .entries())
                .noneMatch(entry -> entry.run().equals(run.run()));
    }

    @Test
    void givesTheFitResultsOfClientsSoilsOfEarlierDays() {
        Day invented = InventedDay.of(40);
        List<LabNumber> labs = invented.soils().stream().map(Soil::labNumber).toList();
        JudgedDay judged = new JudgedDay(
                List.of(
                        result(labs.get(0).text(), new Amount.Measured(6.25, Unit.PH), Verdict.FIT, List.of()),
                        result(labs.get(1).text(), new Amount.Measured(9, Unit.PH), Verdict.HOLD, List.of("c1")),
                        result(labs.get(2).text(), new Amount.Below(3.5, 3.25, Unit.PH), Verdict.FIT, List.of()),
                        // A control soil belongs to no client.
                        result(labs.get(17).text(), new Amount.Measured(6.5, Unit.PH), Verdict.FIT, List.of()),
                        result(labs.get(21).text(), new Amount.Above(9, 9.5, Unit.PH), Verdict.FIT, List.of()),
                        result(labs.get(22).text(), new Amount.Measured(7.5, Unit.PH), Verdict.FIT, List.of())),
                List.of(),
                List.of(),
                List.of());
        String before = taken(beginning(invented, -1002));
        String today = taken(beginning(invented, -1001));
        String after = taken(invented);
        for (String day : List.of(before, today, after)) {
            store.keepJudgement(day, "digest-1", judged);
        }

        LocalDate date = invented.runs().get(0).startedAt().plusDays(-1002).toLocalDate();
        List<EarlierSoils.EarlierSoil> soils =
                store.quality().earlierSoils(today).soils();
        assertThat(soils).hasSize(3).allMatch(soil -> soil.day().equals(date));
        assertThat(soils.stream().map(EarlierSoils.EarlierSoil::results).toList())
                .containsExactly(
                        Map.of("ph-water-1-1", Map.of("pH", 6.25)),
                        Map.of("ph-water-1-1", Map.of("pH", 3.25)),
                        Map.of("ph-water-1-1", Map.of("pH", 7.5)));
        assertThat(soils.get(0).client()).isEqualTo("Müller & Sons 1 O’Brien");
        assertThat(soils.get(0).submission()).isEqualTo("S1");
        assertThat(soils.get(0).label()).isEqualTo("field 0");
        assertThat(soils.get(2).submission()).isEqualTo("S2");
        assertThat(store.quality().earlierSoils(before).soils()).isEmpty();
        assertThat(store.quality().earlierSoils("no such day").soils()).isEmpty();
    }

    /** Of what lies behind some two thousand soils only the day's own clients' are asked for. */
    @Test
    void looksFartherBackForTheClientsOfTheDay() {
        Day two = InventedDay.of(40);
        Day many = InventedDay.of(2100);
        Day one = InventedDay.of(20);
        String oldest = taken(beginning(two, -13));
        String newer = taken(beginning(many, -12));
        String today = taken(beginning(one, -11));
        store.keepJudgement(oldest, "d", allFit(two));
        store.keepJudgement(newer, "d", allFit(many));

        List<EarlierSoils.EarlierSoil> soils =
                store.quality().earlierSoils(today).soils();
        LocalDate first = beginning(two, -13).runs().get(0).startedAt().toLocalDate();
        assertThat(soils)
                .filteredOn(soil -> soil.day().equals(first))
                .hasSize(19)
                .allMatch(soil -> soil.client().equals(two.submissions().get(0).client()));
        assertThat(soils.stream().filter(soil -> soil.day().isAfter(first)).count())
                .isEqualTo(many.soils().stream()
                        .filter(soil -> soil.submission().isPresent())
                        .count());
    }

    private static JudgedDay allFit(Day day) {
        return new JudgedDay(
                day.soils().stream()
                        .map(soil -> result(
                                soil.labNumber().text(), new Amount.Measured(6.5, Unit.PH), Verdict.FIT, List.of()))
                        .toList(),
                List.of(),
                List.of(),
                List.of());
    }

    private static Day beginning(Day day, int days) {
        return day.withRuns(day.runs().stream()
                .map(run -> MadeRun.like(run)
                        .startedAt(run.startedAt().plusDays(days))
                        .run())
                .toList());
    }

    @Test
    void refusesADayItDoesNotKnow() {
        assertThatThrownBy(() -> store.keepJudgement("no such day", "d", JUDGED))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("no such day");
        assertThat(store.judgement("no such day")).isEmpty();
        assertThat(store.judgementDigest("no such day")).isEmpty();
        assertThat(store.quality().judgement("no such day")).isEmpty();
    }

    @Test
    void answersTheWorstVerdictOfALabNumberInSql() throws Exception {
        String day = takenDay();
        store.keepJudgement(day, "digest-1", JUDGED);
        assertThat(OpenStore.ask(
                        store,
                        "select string_agg(verdict, ',' order by lab_number) from judgement.verdict where day = '" + day
                                + "'"))
                .isEqualTo("fit,hold,redo,redo,fit,fit,hold");
    }

    private String takenDay() {
        return taken(InventedDay.of(20));
    }

    private String taken(Day invented) {
        String day = OpenStore.freshDay(invented.runs().get(0).startedAt().toLocalDate());
        OpenStore.take(store, invented, day, OpenStore.freshDigest(), "M. Whelan");
        return day;
    }

    private static Result result(String number, Amount amount, Verdict verdict, List<String> causes) {
        return new Result(
                new LabNumber(number),
                "ph-water-1-1",
                LocalDate.of(2026, 11, 1),
                "pH",
                "P1",
                7,
                "2",
                amount,
                "6.1",
                verdict == Verdict.FIT ? OptionalDouble.of(0.08) : OptionalDouble.empty(),
                verdict,
                causes);
    }
}
