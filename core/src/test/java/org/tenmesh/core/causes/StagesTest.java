package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

class StagesTest {
    private static Day day() {
        TwoMethods table = new TwoMethods(7);
        int[] tray = TwoMethods.wells(5);
        for (int i = 0; i < tray.length; i++) {
            table.inFurnace[tray[i]] = tray[tray.length - 1 - i];
        }
        return table.control(50, "LOAM", "LOAM").control(130, "LOAM", "OTHER").day();
    }

    private static Day with(Day day, List<Run> runs) {
        return MadeDay.like(day).runs(runs).day();
    }

    /** A run without its last readings. */
    private static Run cut(Run run, int missing) {
        Readings all = run.readings();
        Readings.Builder some = Readings.builder();
        for (int i = 0; i < all.size() - missing; i++) {
            some.add(
                    all.position(i),
                    all.role(i),
                    all.identity(i),
                    all.channel(i),
                    all.quantity(i),
                    all.value(i),
                    all.unit(i),
                    all.atMillis(i),
                    all.offsetSeconds(i),
                    all.dilution(i));
        }
        return MadeRun.like(run).readings(some.build()).run();
    }

    private static DayStage judge(Day day, Stages before) {
        return DayJudge.judge(day, Bench.METHODS, EarlierSoils.NONE, before);
    }

    /** The stages of a run by their keys: as it is by itself, and once more where the day found something that changes it. */
    private static Map<String, RunStage> stages(DayStage of, String run) {
        return of.stages().pieces().values().stream()
                .filter(RunStage.class::isInstance)
                .map(RunStage.class::cast)
                .filter(one -> one.name().equals(run))
                .collect(Collectors.toMap(RunStage::key, Function.identity()));
    }

    @Test
    void everyInputHasItsPartInTheKey() {
        Day day = day();
        Map<String, String> keys = new LinkedHashMap<>();
        keys.put("the day", key(day));
        Laboratory usual = day.laboratory();
        Policy policy = usual.policy();
        keys.put(
                "policy",
                key(MadeDay.like(day)
                        .laboratory(MadeLaboratory.like(usual)
                                .policy(otherThan(policy))
                                .laboratory())
                        .day()));
        keys.put(
                "a reading",
                key(with(day, List.of(day.runs().get(0), cut(day.runs().get(1), 1)))));
        keys.put("a run", key(with(day, day.runs().subList(0, 1))));
        Run first = day.runs().get(0);
        keys.put(
                "operator",
                key(with(
                        day,
                        List.of(
                                MadeRun.like(first).operator("somebody").run(),
                                day.runs().get(1)))));
        keys.put("soils", key(changed(day, "soils")));
        keys.put("submissions", key(changed(day, "submissions")));
        keys.put("trays", key(changed(day, "trays")));
        keys.put("controls", key(changed(day, "controls")));
        keys.put("materials", key(changed(day, "materials")));
        keys.put("standards", key(changed(day, "standards")));
        keys.put("shortages", key(changed(day, "shortages")));
        keys.put("history", key(day.with(history())));
        keys.put("a method", DayJudge.key(day, otherVersion(), EarlierSoils.NONE));
        keys.put(
                "earlier soils",
                DayJudge.key(
                        day,
                        Bench.METHODS,
                        new EarlierSoils(List.of(new EarlierSoils.EarlierSoil(
                                LocalDate.of(2026, 11, 24),
                                "S1",
                                "client 1",
                                Optional.empty(),
                                "",
                                Map.of(Bench.LOI.id(), Map.of("LOI", 3.0)))))));

        assertThat(keys.values()).doesNotHaveDuplicates();
        assertThat(key(day())).isEqualTo(key(day));
    }

    private static String key(Day day) {
        return DayJudge.key(day, Bench.METHODS, EarlierSoils.NONE);
    }

    private static Day changed(Day day, String what) {
        Map<LabNumber, String> controls = new HashMap<>(day.controls());
        controls.keySet().removeIf(lab -> what.equals("controls") && lab.equals(TwoMethods.lab(50)));
        return MadeDay.like(day)
                .submissions(less(day.submissions(), what.equals("submissions")))
                .soils(less(day.soils(), what.equals("soils")))
                .trays(less(day.trays(), what.equals("trays")))
                .controls(controls)
                .materials(less(day.materials(), what.equals("materials")))
                .standards(less(day.standards(), what.equals("standards")))
                .shortages(
                        what.equals("shortages")
                                ? List.of(new Shortage(TwoMethods.lab(3), Bench.PH.id()))
                                : day.shortages())
                .day();
    }

    private static <T> List<T> less(List<T> all, boolean less) {
        return less ? all.subList(0, all.size() - 1) : all;
    }

    private static ControlHistory history() {
        return ControlHistory.NONE.with(List.of(new ChartValue(
                new ChartKey("LOAM", Bench.LOI.id(), "LOI", "instrument 1"),
                LocalDate.of(2026, 11, 20),
                Bench.START.minusDays(5),
                "earlier",
                1,
                4.02,
                false)));
    }

    private static Policy otherThan(Policy policy) {
        return policy.with(Setting.CONTROL_FALSE_ALARM, 0.001);
    }

    /** The loss on ignition with the same date and another temperature of ashing. */
    private static MethodBook otherVersion() {
        IgnitionMethod loi = Bench.LOI;
        return MethodBook.shipping(
                Bench.ICP,
                new IgnitionMethod(
                        loi.head(),
                        loi.dryCelsius(),
                        loi.dryHours(),
                        loi.ashCelsius() + 1,
                        loi.ashHours(),
                        loi.knownsFirst(),
                        loi.leastDrySoilG(),
                        loi.mostDrySoilG(),
                        loi.highestLoiPct(),
                        loi.duplicateLimitPct(),
                        loi.duplicateFloorPct(),
                        loi.organicMatter()),
                Bench.PH);
    }

    @Test
    void aNewReadingCostsItsRunAndLeavesTheOthersAsTheyWere() {
        Day whole = day();
        Run last = whole.runs().get(1);
        DayStage before = judge(with(whole, List.of(whole.runs().get(0), cut(last, 1))), Stages.NONE);

        DayStage after = judge(whole, before.stages());

        String other = whole.runs().get(0).run();
        Map<String, RunStage> known = stages(before, other);
        assertThat(stages(after, other).values()).anyMatch(one -> known.get(one.key()) == one);
        assertThat(stages(after, last.run()).keySet())
                .isNotEmpty()
                .doesNotContainAnyElementsOf(stages(before, last.run()).keySet());
        assertThat(after.judged()).isEqualTo(DayJudge.judge(whole, Bench.METHODS));
        assertThat(after.key()).isNotEqualTo(before.key()).isEqualTo(key(whole));
    }

    @Test
    void aDayOfTheSameKeyIsNotJudgedAgain() {
        DayStage once = judge(day(), Stages.NONE);
        DayStage twice = judge(day(), once.stages());

        assertThat(twice.judged()).isSameAs(once.judged());
        assertThat(twice.key()).isEqualTo(once.key());
        assertThat(judge(day(), twice.stages()).judged()).isSameAs(once.judged());
    }

    @Test
    void piecesThatAreNotUsedAgainAreGone() {
        Day whole = day();
        DayStage first = judge(whole, Stages.NONE);
        DayStage less = judge(with(whole, whole.runs().subList(0, 1)), first.stages());

        assertThat(less.stages().size()).isLessThan(first.stages().size());
        assertThat(less.stages().pieces().values())
                .noneMatch(piece -> piece instanceof RunStage stage
                        && stage.name().equals(whole.runs().get(1).run()));
    }

    /** Readings that come in by and by, in whatever portions and order, give the day that is judged at once. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4})
    void judgingByAndByIsJudgingAtOnce(long seed) {
        Day whole = day();
        SplittableRandom random = new SplittableRandom(seed);
        int[] missing = whole.runs().stream()
                .mapToInt(run -> 1 + random.nextInt(run.readings().size() - 1))
                .toArray();
        Stages stages = Stages.NONE;
        while (Stream.of(missing[0], missing[1]).anyMatch(left -> left > 0)) {
            int which = random.nextInt(2);
            missing[which] -= Math.min(missing[which], 1 + random.nextInt(200));
            List<Run> runs = new ArrayList<>();
            for (int i = 0; i < missing.length; i++) {
                runs.add(cut(whole.runs().get(i), missing[i]));
            }
            Day now = with(whole, runs);
            DayStage judged = judge(now, stages);
            stages = judged.stages();
            assertThat(Content.digest(judged.judged())).isEqualTo(Content.digest(DayJudge.judge(now, Bench.METHODS)));
        }
        assertThat(judge(whole, stages).judged()).isEqualTo(DayJudge.judge(whole, Bench.METHODS));
    }

    /**
     * Reminds of {@link Engine#VERSION}. What is compared is what a person reads of three small days, and no last bits, which processors may
     * round in different ways.
     */
    @Test
    void whatIsJudgedOtherwiseHasAnotherEngine() {
        Bench drifting = new Bench("icp-1", Bench.ICP).icpStart().soils(1, 20);
        drifting.icp(Role.VERIFICATION, "QC", 8.5, 20).soils(21, 5);
        // Standards off their line, so that the calibration has an uncertainty.
        Bench uneven = new Bench("icp-2", Bench.ICP);
        uneven.icp(Role.STANDARD, "WS1", 0.01, 0.01).icp(Role.STANDARD, "WS2", 2.06, 3.9);
        uneven.icp(Role.STANDARD, "WS4", 9.8, 20.4).icp(Role.STANDARD, "WS6", 50.6, 99);
        uneven.icp(Role.VERIFICATION, "QC", 10, 20).icp(Role.BLANK, "BLANK", 0, 0);
        uneven.icp(Role.CONTROL, "LOAM", 3, 15).soils(1, 5);
        List<JudgedDay> days = List.of(
                DayJudge.judge(day(), Bench.METHODS),
                DayJudge.judge(Bench.day(Map.of(), List.of(), drifting.run()), Bench.METHODS),
                DayJudge.judge(Bench.day(Map.of(), List.of(), uneven.run()), Bench.METHODS));
        List<String> read = days.stream()
                .flatMap(judged -> Stream.concat(
                        judged.results().stream()
                                .map(one -> one.run() + " " + one.position() + " " + one.labNumber() + " "
                                        + one.analyte() + " " + one.reported() + " "
                                        + one.expandedUncertainty().stream()
                                                .mapToObj(u -> Significant.text(u, 3))
                                                .toList()
                                        + " " + one.verdict() + " " + one.causes()),
                        Stream.concat(
                                judged.causes().stream()
                                        .map(one -> one.id() + " " + one.verdict() + " " + one.evidence() + " "
                                                + one.action()),
                                judged.gates().stream().map(Object::toString))))
                .toList();

        assertThat(Engine.VERSION + " " + Content.digest(read))
                .as("what the judge says of a fixed day and the version of the judging code. When results, causes,"
                        + " gates or sentences changed, raise Engine.VERSION by one and write the new digest here:"
                        + " what laboratories keep of earlier judgements is then judged again")
                .isEqualTo("8 c8f5fa75d5fb7ccfad329505389fd66d5c8d621e2b590d5dd57c2f6db7fdd65b");
    }
}
