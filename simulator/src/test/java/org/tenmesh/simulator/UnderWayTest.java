package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** A run of which more is to come: what it has not read yet is waited for, what failed is found at once. */
class UnderWayTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    /** What is said where something is not there that should be. */
    private static final Set<CauseKind> MISSING = EnumSet.of(
            CauseKind.CONTROL_MISSING,
            CauseKind.TRUNCATED_RUN,
            CauseKind.MISSING_READING,
            CauseKind.CALIBRATION_REJECTED,
            CauseKind.NOT_JUDGED);

    private static Run begun(Run run, int readings) {
        return run.with(run.readings().part(0, readings)).underWay(true);
    }

    private static Day with(Day day, Run begun) {
        List<Run> runs = new ArrayList<>(day.runs());
        runs.replaceAll(run -> run.run().equals(begun.run()) ? begun : run);
        return day.withRuns(runs);
    }

    @Test
    void nothingIsMissingFromARunThatGoesOn() {
        Day day = Simulator.simulate(Scenario.of(11, 96, DATE)).day();
        JudgedDay whole = DayJudge.judge(day, METHODS);
        Set<String> known = new TreeSet<>();
        whole.causes().forEach(cause -> known.add(cause.run() + " " + cause.kind()));
        SplittableRandom random = new SplittableRandom(3);
        int held = 0;
        for (Run run : day.runs()) {
            for (int i = 0; i < 25; i++) {
                int readings = random.nextInt(run.readings().size() + 1);
                JudgedDay alone = DayJudge.alone(day, METHODS, begun(run, readings), Stages.NONE);

                assertThat(alone.causes().stream()
                                .filter(cause -> MISSING.contains(cause.kind()))
                                .filter(cause -> !known.contains(cause.run() + " " + cause.kind()))
                                .map(Cause::evidence))
                        .as(
                                "run %s after %d of %d readings",
                                run.run(), readings, run.readings().size())
                        .isEmpty();
                assertThat(alone.gates()).allMatch(GateOutcome::open);
                for (Result result : alone.results()) {
                    boolean reason =
                            !result.causes().isEmpty() || !alone.awaits(result).isEmpty();
                    assertThat(result.verdict() == Verdict.FIT || reason)
                            .as("%s", result)
                            .isTrue();
                    held += result.verdict() == Verdict.HOLD ? 1 : 0;
                }
            }
        }
        assertThat(held).isPositive();
    }

    @Test
    void aDayWithARunThatGoesOnHasNoCauseForWhatIsStillToCome() {
        Day day = Simulator.simulate(Scenario.of(11, 96, DATE)).day();
        Set<String> known = new TreeSet<>();
        DayJudge.judge(day, METHODS).causes().forEach(cause -> known.add(cause.run() + " " + cause.kind()));
        SplittableRandom random = new SplittableRandom(5);
        for (Run run : day.runs()) {
            Day now = with(day, begun(run, random.nextInt(run.readings().size())));
            JudgedDay judged = DayJudge.judge(now, METHODS);
            assertThat(judged.causes().stream()
                            .filter(cause -> MISSING.contains(cause.kind()))
                            .filter(cause -> !known.contains(cause.run() + " " + cause.kind()))
                            .map(Cause::evidence))
                    .as("run %s", run.run())
                    .isEmpty();
            assertThat(judged.underWay())
                    .singleElement()
                    .satisfies(one -> assertThat(one.run()).isEqualTo(run.run()));
        }
    }

    @Test
    void aRunThatWasUnderWayIsJudgedAsOneThatCameAtOnce() {
        Day day = Simulator.simulate(Scenario.of(11, 96, DATE)).day();
        Run run = day.runs().get(0);
        Stages stages = Stages.NONE;
        for (int readings = 0; readings < run.readings().size(); readings += 101) {
            stages = DayJudge.judge(with(day, begun(run, readings)), METHODS, EarlierSoils.NONE, stages)
                    .stages();
        }
        assertThat(Content.digest(
                        DayJudge.judge(day, METHODS, EarlierSoils.NONE, stages).judged()))
                .isEqualTo(Content.digest(DayJudge.judge(day, METHODS)));
    }

    @Test
    void whatFailedIsFoundWhileTheRunGoesOn() {
        Day day = Simulator.simulate(Scenario.of(11, 96, DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED)))
                .day();
        GateOutcome shut = DayJudge.judge(day, METHODS).gates().stream()
                .filter(gate -> !gate.open())
                .findFirst()
                .orElseThrow();
        Run run = day.runs().stream()
                .filter(one -> one.run().equals(shut.run()))
                .findFirst()
                .orElseThrow();
        int shutAt = -1;
        for (int readings = 0; readings < run.readings().size() && shutAt < 0; readings++) {
            JudgedDay alone = DayJudge.alone(day, METHODS, begun(run, readings), Stages.NONE);
            if (alone.gates().stream().anyMatch(gate -> !gate.open())) {
                shutAt = readings;
                assertThat(alone.causes()).anyMatch(cause -> cause.kind() == CauseKind.CALIBRATION_REJECTED);
            }
        }
        assertThat(shutAt).isBetween(1, run.readings().size() / 2);
    }
}
