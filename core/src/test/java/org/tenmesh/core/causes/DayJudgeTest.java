package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.causes.Bench.lab;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

class DayJudgeTest {
    private static final Role SAMPLE = Role.SAMPLE;

    private static JudgedDay judge(Run... runs) {
        return judge(Bench.day(Map.of(), List.of(), runs));
    }

    private static JudgedDay judge(Day day) {
        return DayJudge.judge(day, Bench.METHODS);
    }

    private static Cause of(JudgedDay judged, CauseKind kind) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == kind)
                .findFirst()
                .orElseThrow();
    }

    private static Cause only(JudgedDay judged, CauseKind kind) {
        assertThat(judged.causes()).extracting(Cause::kind).containsOnly(kind);
        assertThat(judged.causes()).hasSize(1);
        return judged.causes().get(0);
    }

    private static Result result(JudgedDay judged, LabNumber lab, String analyte) {
        return judged.results().stream()
                .filter(r -> r.labNumber().equals(lab) && r.analyte().equals(analyte))
                .findFirst()
                .orElseThrow();
    }

    private static Bench icp() {
        return new Bench("icp-1", Bench.ICP).icpStart();
    }

    @Test
    void letsACleanRunThrough() {
        JudgedDay judged = judge(
                icp().soils(1, 20).icp(Role.VERIFICATION, "QC", 10.2, 19.9).run());

        assertThat(judged.causes()).isEmpty();
        assertThat(judged.results()).hasSize(40).allMatch(r -> r.verdict() == Verdict.FIT);
        assertThat(judged.gates())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.BLANK, Gate.OWN_CONTROL);
        assertThat(judged.gates()).allMatch(GateOutcome::open);
        // 3.0 mg/L in 10 mL from 1 g is 30 mg/kg, by mass balance.
        assertThat(result(judged, lab(1), "P").amount().raw()).isCloseTo(30, within(1e-9));
        assertThat(result(judged, lab(1), "P").reported()).isEqualTo("30");
    }

    @Test
    void redoesEverythingBetweenTheLastGoodCheckAndTheNext() {
        JudgedDay judged = judge(icp().soils(1, 10)
                .icp(Role.VERIFICATION, "QC", 10, 20)
                .soils(11, 10)
                .icp(Role.VERIFICATION, "QC", 10, 17)
                .soils(21, 10)
                .icp(Role.VERIFICATION, "QC", 10, 20)
                .run());

        Cause cause = only(judged, CauseKind.VERIFICATION_FAILED);
        assertThat(cause.analytes()).containsExactly("K");
        // Eight positions open the run; good checks stand at 19 and 41.
        assertThat(cause.firstPosition()).isEqualTo(20);
        assertThat(cause.lastPosition()).isEqualTo(40);
        assertThat(cause.samples()).isEqualTo(20);
        assertThat(result(judged, lab(15), "K").verdict()).isEqualTo(Verdict.REDO);
        assertThat(result(judged, lab(15), "P").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(10), "K").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void callsAFailureThatTheChecksBeforeItPredictedDrift() {
        Bench bench = icp();
        double[] course = {20, 19.6, 19.2, 18.8, 18.4, 17.6};
        for (int i = 0; i < course.length; i++) {
            bench.soils(1 + 10 * i, 10).icp(Role.VERIFICATION, "QC", 10, course[i]);
        }

        JudgedDay judged = judge(bench.run());
        assertThat(judged.causes())
                .allMatch(cause ->
                        cause.kind() == CauseKind.DRIFT && cause.analytes().equals(List.of("K")));
        // One event: the stretch that is to be read again first, the one that waits after it.
        Cause drift = only(judged, CauseKind.DRIFT);
        assertThat(drift.verdict()).isEqualTo(Verdict.REDO);
        assertThat(drift.stretches()).extracting(Stretch::verdict).containsExactly(Verdict.REDO, Verdict.HOLD);
        assertThat(drift.stretches().get(0).firstPosition()).isEqualTo(8 + 5 * 11 + 1);
        assertThat(drift.stretches().get(0).touched()).hasSize(10);
        assertThat(drift.samples()).isEqualTo((int) judged.results().stream()
                .filter(result -> result.verdict() != Verdict.FIT)
                .map(Result::labNumber)
                .distinct()
                .count());
        // Where it grew towards its tolerance, soils wait.
        assertThat(result(judged, lab(35), "K").verdict()).isEqualTo(Verdict.HOLD);
        assertThat(result(judged, lab(55), "K").verdict()).isEqualTo(Verdict.REDO);
        assertThat(result(judged, lab(35), "P").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void holdsTheWholeRunBehindAShutGate() {
        Bench bench = new Bench("icp-1", Bench.ICP)
                .icp(Role.STANDARD, "WS1", 0, 0)
                .icp(Role.STANDARD, "WS2", 2, 4)
                .icp(Role.STANDARD, "WS4", 10, 20)
                .icp(Role.STANDARD, "WS6", 50, 100)
                .icp(Role.VERIFICATION, "QC", 8.5, 20)
                .icp(Role.BLANK, "BLANK", 0, 0)
                .icp(Role.CONTROL, "LOAM", 3, 15)
                .soils(1, 5)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.VERIFICATION_FAILED);
        assertThat(cause.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(judged.gates())
                .filteredOn(g -> !g.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.KNOWN_SOLUTIONS);
        assertThat(judged.results())
                .filteredOn(r -> r.analyte().equals("P"))
                .allMatch(r -> r.verdict() == Verdict.HOLD);
        assertThat(judged.results()).filteredOn(r -> r.analyte().equals("K")).allMatch(r -> r.verdict() == Verdict.FIT);
    }

    @Test
    void namesTheStandardForWhichACalibrationIsRejected() {
        Bench bench = new Bench("icp-1", Bench.ICP)
                .icp(Role.STANDARD, "WS1", 0, 0)
                .icp(Role.STANDARD, "WS2", 2, 4)
                .icp(Role.STANDARD, "WS4", 14, 20)
                .icp(Role.STANDARD, "WS6", 50, 100)
                .icp(Role.VERIFICATION, "QC", 10, 20)
                .icp(Role.BLANK, "BLANK", 0, 0)
                .icp(Role.CONTROL, "LOAM", 3, 15)
                .soils(1, 5)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        // 14 for the 10 of its label: the rejected curve is that standard's doing and no cause of its own.
        Cause cause = only(judged, CauseKind.STANDARD_WRONG);
        assertThat(cause.evidence()).contains("WS4 holds 140 % of its label");
        assertThat(cause.analytes()).containsExactly("P");
        assertThat(judged.gates())
                .filteredOn(g -> !g.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.CALIBRATION);
        assertThat(judged.results())
                .filteredOn(r -> r.analyte().equals("P"))
                .allMatch(r -> r.verdict() == Verdict.HOLD);
        assertThat(judged.results()).filteredOn(r -> r.analyte().equals("K")).allMatch(r -> r.verdict() == Verdict.FIT);
    }

    @Test
    void keepsTheNumbersOfARunWithoutCalibrationBack() {
        JudgedDay judged = judge(new Bench("icp-1", Bench.ICP).soils(1, 3).run());

        assertThat(judged.causes()).extracting(Cause::kind).containsOnly(CauseKind.CALIBRATION_REJECTED);
        assertThat(judged.results())
                .hasSize(6)
                .allMatch(r -> r.verdict() == Verdict.HOLD && r.reported().isEmpty());
    }

    @Test
    void findsTheHiddenControlAndNeverNamesIt() {
        Map<LabNumber, String> key = Map.of(lab(5), "LOAM", lab(15), "LOAM", lab(25), "LOAM");
        Bench bench = icp();
        for (int i = 1; i <= 30; i++) {
            bench.icp(SAMPLE, lab(i).text(), 3 + 0.001 * i, i == 15 ? 18 : 15);
            if (i == 20) {
                bench.icp(Role.VERIFICATION, "QC", 10, 20);
            }
        }
        bench.icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(Bench.day(key, List.of(), bench.run()));

        Cause cause = only(judged, CauseKind.CONTROL_FAILED);
        assertThat(cause.analytes()).containsExactly("K");
        // Controls at positions 13, 23 and 34: the failing one lies in the middle.
        assertThat(cause.firstPosition()).isEqualTo(14);
        assertThat(cause.lastPosition()).isEqualTo(33);
        assertThat(cause.evidence() + cause.action())
                .doesNotContain(lab(15).text())
                .doesNotContain("23");
        // 180 against 150 with sd 6 is five standard deviations.
        assertThat(judged.controlValues())
                .filteredOn(v -> v.position() == 23 && v.analyte().equals("K"))
                .singleElement()
                .satisfies(v -> {
                    assertThat(v.z()).isCloseTo(5, within(1e-9));
                    assertThat(v.hidden()).isTrue();
                    assertThat(v.rules()).containsExactly("beyond-limit");
                });
    }

    @Test
    void touchesOnlySoilsForWhichAHighBlankMatters() {
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 3, 15)
                .icp(SAMPLE, lab(2).text(), 45, 15)
                .icp(Role.BLANK, "BLANK", 0.6, 0)
                .icp(SAMPLE, lab(3).text(), 3, 15)
                .icp(Role.VERIFICATION, "QC", 10, 20)
                .icp(Role.BLANK, "BLANK", 0, 0);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.BLANK_HIGH);
        assertThat(cause.analytes()).containsExactly("P");
        assertThat(result(judged, lab(1), "P").verdict()).isEqualTo(Verdict.REDO);
        assertThat(result(judged, lab(2), "P").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(3), "P").verdict()).isEqualTo(Verdict.REDO);
    }

    @Test
    void judgesABlankBelowZeroByItsSize() {
        // The mean blank is taken off: one below zero is added to every soil. 0.15 mg/L is allowed, half the reporting
        // limit.
        Bench bench = icp().icp(Role.BLANK, "BLANK", -0.5, 0.4).soils(1, 3).icp(Role.VERIFICATION, "QC", 10, 20);

        Cause cause = only(judge(bench.run()), CauseKind.BLANK_HIGH);

        assertThat(cause.analytes()).containsExactly("P");
        assertThat(cause.samples()).isEqualTo(3);
        assertThat(cause.evidence()).isEqualTo("P -0.5 mg/L in the blank at position 9 (allowed -0.3 to 0.15).");
    }

    @Test
    void letsADilutedSecondReadingStandForWhatWasOverRange() {
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 80, 15)
                .icp(SAMPLE, lab(2).text(), 3, 140)
                .icp(SAMPLE, lab(1).text(), 16, 3, 5, 50_000)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.OVER_RANGE);
        assertThat(cause.analytes()).containsExactly("K");
        assertThat(cause.samples()).isEqualTo(1);
        assertThat(result(judged, lab(2), "K").reported()).isEqualTo("> 1000");
        Result diluted = result(judged, lab(1), "P");
        assertThat(diluted.verdict()).isEqualTo(Verdict.FIT);
        assertThat(diluted.amount().raw()).isCloseTo(800, within(1e-9));
        assertThat(diluted.position()).isEqualTo(11);
        assertThat(result(judged, lab(1), "K").position()).isEqualTo(9);
    }

    @Test
    void asksForOneDilutionOfAllSoilsAndElementsAboveTheRangeOfARun() {
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 80, 15)
                .icp(SAMPLE, lab(2).text(), 3, 15)
                .icp(SAMPLE, lab(3).text(), 80, 140)
                .icp(SAMPLE, lab(4).text(), 3, 140)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.OVER_RANGE);
        assertThat(cause.analytes()).containsExactly("P", "K");
        assertThat(cause.labNumbers()).containsExactlyInAnyOrder(lab(1), lab(3), lab(4));
        assertThat(cause.touched()).hasSize(4);
        assertThat(cause.evidence())
                .startsWith("3 soils lie above the calibrated range: " + lab(1).text() + " P about");
        assertThat(result(judged, lab(1), "K").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(2), "P").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void correctsByTheInternalStandardUntilItIsLost() {
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 3, 15, 1, 45_000)
                .icp(SAMPLE, lab(2).text(), 3, 15, 1, 30_000)
                .icp(SAMPLE, lab(3).text(), 3, 15, 1, 30_500)
                .icp(SAMPLE, lab(4).text(), 3, 15)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.INTERNAL_STANDARD_LOST);
        assertThat(cause.firstPosition()).isEqualTo(10);
        assertThat(cause.lastPosition()).isEqualTo(11);
        assertThat(cause.samples()).isEqualTo(2);
        assertThat(result(judged, lab(1), "P").amount().raw()).isCloseTo(30, within(1e-9));
        assertThat(result(judged, lab(1), "P").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void redoesASoilWhoseTwoPortionsDisagree() {
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 3, 15)
                .icp(Role.DUPLICATE, lab(1).text(), 3.1, 20)
                .icp(SAMPLE, lab(2).text(), 3, 15)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.DUPLICATES_DISAGREE);
        assertThat(cause.analytes()).containsExactly("K");
        assertThat(cause.samples()).isEqualTo(1);
        assertThat(result(judged, lab(1), "K").verdict()).isEqualTo(Verdict.REDO);
        assertThat(result(judged, lab(2), "K").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void comparesTwoPortionsByTheReadingsThatStand() {
        // Both portions of soil 1 and 2 were over range in P and read again diluted, where K is read badly.
        Bench bench = icp().icp(SAMPLE, lab(1).text(), 80, 15)
                .icp(Role.DUPLICATE, lab(1).text(), 82, 15.2)
                .icp(SAMPLE, lab(2).text(), 80, 15)
                .icp(Role.DUPLICATE, lab(2).text(), 120, 15)
                .icp(SAMPLE, lab(1).text(), 16, 2, 5, 50_000)
                .icp(Role.DUPLICATE, lab(1).text(), 16.4, 2, 5, 50_000)
                .icp(SAMPLE, lab(2).text(), 16, 3, 5, 50_000)
                .icp(Role.DUPLICATE, lab(2).text(), 24, 3, 5, 50_000)
                .icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.DUPLICATES_DISAGREE);
        assertThat(cause.analytes()).containsExactly("P");
        assertThat(result(judged, lab(1), "K").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(1), "P").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(2), "P").verdict()).isEqualTo(Verdict.REDO);
    }

    @Test
    void refusesWeighingsThatCannotBe() {
        Bench bench = new Bench("loi-1", Bench.LOI)
                .weigh(Role.CONTROL, "LOAM", 20, 25, 24.8)
                .weigh(SAMPLE, lab(1).text(), 20.1532, 25.1417, 24.9826)
                .weigh(SAMPLE, lab(2).text(), 20.1532, 24.9826, 25.1417)
                .weigh(SAMPLE, lab(3).text(), 20, 20.5, 20.4)
                .weigh(SAMPLE, lab(4).text(), 20, 25, Double.NaN)
                .weigh(Role.CONTROL, "LOAM", 20, 25, 24.8);

        JudgedDay judged = judge(bench.run());

        assertThat(judged.causes())
                .extracting(Cause::kind)
                .containsExactlyInAnyOrder(
                        CauseKind.WEIGHING_IMPOSSIBLE, CauseKind.WEIGHING_IMPOSSIBLE, CauseKind.MISSING_READING);
        // 100 x 0.1591 / 4.9885, Rayment and Lyons 2011, formula of method 6G1.
        assertThat(result(judged, lab(1), "LOI").amount().raw()).isCloseTo(3.18933547, within(1e-8));
        assertThat(result(judged, lab(1), "OM").reported()).isEqualTo("3.2");
        assertThat(result(judged, lab(2), "OM").verdict()).isEqualTo(Verdict.REDO);
        assertThat(result(judged, lab(2), "OM").amount()).isInstanceOf(Amount.Missing.class);
        assertThat(result(judged, lab(4), "LOI").verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void holdsOnlyTheProbeThatFailed() {
        Bench bench = new Bench("ph-1", Bench.PH);
        for (String probe : List.of("1", "2")) {
            double slope = probe.equals("2") ? 54 : 59.16;
            bench.probe(Role.STANDARD, "B4", probe, slope * (7 - 4.01), 25)
                    .probe(Role.STANDARD, "B7", probe, 0, 25)
                    .probe(Role.STANDARD, "B10", probe, slope * (7 - 10.01), 25)
                    .probe(Role.VERIFICATION, "B7", probe, 0, 25)
                    .probe(Role.CONTROL, "LOAM", probe, slope * 0.5, 25);
        }
        for (int i = 1; i <= 8; i++) {
            bench.probe(SAMPLE, lab(i).text(), i % 2 == 0 ? "2" : "1", 59.16 * 0.5, 25);
        }
        bench.probe(Role.VERIFICATION, "B7", "1", 0, 25).probe(Role.VERIFICATION, "B7", "2", 0, 25);

        JudgedDay judged = judge(bench.run());

        Cause cause = only(judged, CauseKind.CALIBRATION_REJECTED);
        assertThat(cause.evidence()).contains("Probe 2").contains("91.3 %");
        assertThat(cause.samples()).isEqualTo(4);
        assertThat(result(judged, lab(1), "pH").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(1), "pH").reported()).isEqualTo("6.50");
        assertThat(result(judged, lab(2), "pH").verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void holdsSoilsAfterTheLastKnownSolution() {
        JudgedDay judged = judge(icp().soils(1, 5)
                .icp(Role.VERIFICATION, "QC", 10, 20)
                .soils(6, 3)
                .run());

        Cause cause = only(judged, CauseKind.TRUNCATED_RUN);
        assertThat(cause.firstPosition()).isEqualTo(15);
        assertThat(cause.samples()).isEqualTo(3);
        assertThat(result(judged, lab(5), "P").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(6), "P").verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void noticesWhatWasNotReadOfATray() {
        List<Tray.Place> places = IntStream.range(0, 12)
                .mapToObj(i -> new Tray.Place(
                        new Well(i), i == 11 ? Optional.empty() : Optional.of(lab(i + 1)), Tray.Purpose.SOIL))
                .toList();
        Bench bench = icp().soils(1, 5).soils(7, 3).icp(Role.VERIFICATION, "QC", 10, 20);

        JudgedDay judged = judge(Bench.day(Map.of(), List.of(new Tray("0001", places)), bench.run()));

        assertThat(judged.causes())
                .extracting(Cause::kind)
                .containsExactlyInAnyOrder(CauseKind.MISSING_READING, CauseKind.TRUNCATED_RUN);
        assertThat(result(judged, lab(6), "K").causes())
                .containsExactly(of(judged, CauseKind.MISSING_READING).id());
        assertThat(result(judged, lab(11), "K").causes())
                .containsExactly(of(judged, CauseKind.TRUNCATED_RUN).id());
        assertThat(result(judged, lab(11), "K").verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void holdsAFileThatCameTwiceAndLetsTheFirstStand() {
        Run first = icp().soils(1, 5).icp(Role.VERIFICATION, "QC", 10, 20).run();
        Run second = MadeRun.like(first).named("icp-2").run();
        Day day = Bench.day(Map.of(), List.of(), first, second);

        JudgedDay judged = judge(day);
        Standing standing = Standing.of(day, judged, Bench.METHODS);

        assertThat(only(judged, CauseKind.REPEATED_FILE).run()).isEqualTo("icp-2");
        assertThat(standing.standing())
                .hasSize(10)
                .allMatch(r -> r.run().equals("icp-1") && r.verdict() == Verdict.FIT);
        assertThat(standing.superseded()).hasSize(10).allMatch(r -> r.run().equals("icp-2"));
    }

    @Test
    void explainsANumberToItsLastDigit() {
        Day day = Bench.day(
                Map.of(),
                List.of(),
                icp().icp(SAMPLE, lab(1).text(), 2.951, 15.077)
                        .icp(Role.VERIFICATION, "QC", 10, 20)
                        .run(),
                new Bench("loi-1", Bench.LOI)
                        .weigh(Role.CONTROL, "LOAM", 20, 25, 24.8)
                        .weigh(SAMPLE, lab(1).text(), 20.1532, 25.1417, 24.9826)
                        .run());

        Standing standing = Standing.of(day, judge(day), Bench.METHODS);

        for (String[] one : new String[][] {{"mehlich3-icp", "K"}, {"om-loi-360", "OM"}}) {
            Story story = standing.story(
                    day, Bench.METHODS, standing.of(lab(1), one[0], one[1]).orElseThrow());
            assertThat(story.steps().get(story.steps().size() - 1).result())
                    .isEqualTo(story.result().amount().raw());
            assertThat(story.around()).last().isEqualTo("Verdict: fit.");
        }
        assertThat(standing.of(lab(2), "mehlich3-icp", "K")).isEmpty();
    }

    @Test
    void rejectsADeadProbeAndJudgesTheOthers() {
        Bench bench = new Bench("ph-1", Bench.PH);
        for (String probe : List.of("1", "2")) {
            double slope = probe.equals("2") ? 0 : 59.16;
            bench.probe(Role.STANDARD, "B4", probe, slope * (7 - 4.01), 25)
                    .probe(Role.STANDARD, "B7", probe, 0, 25)
                    .probe(Role.STANDARD, "B10", probe, slope * (7 - 10.01), 25)
                    .probe(Role.VERIFICATION, "B7", probe, 0, 25)
                    .probe(Role.CONTROL, "LOAM", probe, slope * 0.5, 25);
        }
        for (int i = 1; i <= 8; i++) {
            String probe = i % 2 == 0 ? "2" : "1";
            bench.probe(SAMPLE, lab(i).text(), probe, probe.equals("2") ? 0 : 59.16 * 0.5, 25);
        }
        bench.probe(Role.VERIFICATION, "B7", "1", 0, 25).probe(Role.VERIFICATION, "B7", "2", 0, 25);

        JudgedDay judged = judge(bench.run());

        assertThat(only(judged, CauseKind.CALIBRATION_REJECTED).evidence())
                .contains("Probe 2: slope 0.00 mV/pH is 0.0 % of the theoretical");
        assertThat(result(judged, lab(1), "pH").verdict()).isEqualTo(Verdict.FIT);
        assertThat(result(judged, lab(2), "pH").verdict()).isEqualTo(Verdict.HOLD);
        assertThat(result(judged, lab(2), "pH").amount()).isInstanceOf(Amount.Missing.class);
    }

    @Test
    void aRunWithoutReadingsCostsTheOthersNothing() {
        Run full = icp().soils(1, 60).icp(Role.VERIFICATION, "QC", 10, 20).run();
        Run empty = MadeRun.of("a-empty", Bench.LOI.id())
                .instrument("instrument 2")
                .startedAt(Bench.START)
                .run();
        Run emptyToo = MadeRun.of("b-empty", Bench.ICP.id())
                .instrument("instrument 1")
                .startedAt(Bench.START)
                .run();

        JudgedDay judged = judge(full, empty, emptyToo);

        assertThat(judged.results()).hasSize(120).isEqualTo(judge(full).results());
    }

    @Test
    void aRunThatYieldsNoResultCostsTheOthersNothing() {
        Run full = icp().soils(1, 60).icp(Role.VERIFICATION, "QC", 10, 20).run();
        // Plasma readings under a method whose lines were renamed.
        Readings.Builder renamed = Readings.builder();
        for (int i = 1; i <= 50; i++) {
            renamed.add(i, SAMPLE, lab(i).text(), "1", "Q 1.0", 5, Unit.PER_SECOND, Bench.START, 1);
        }
        Run none = MadeRun.of("none", Bench.ICP.id())
                .instrument("instrument 2")
                .startedAt(Bench.START.plusDays(0))
                .readings(renamed.build())
                .run();

        assertThat(judge(full, none).results()).containsAll(judge(full).results());
    }

    @Test
    void anElementThatIsTheSameInEverySoilIsLeftOutOfTheComparison() {
        Bench plasma = icp();
        for (int i = 1; i <= 80; i++) {
            // A dead line: potassium reads nothing anywhere, the control soil too.
            plasma.icp(SAMPLE, lab(i).text(), 3 + 0.1 * (i % 5), 0);
            if (i % 20 == 0) {
                plasma.icp(Role.VERIFICATION, "QC", 10, 20);
            }
        }
        Bench loss = new Bench("loi-1", Bench.LOI).weigh(Role.CONTROL, "LOAM", 20, 25, 24.8);
        for (int i = 1; i <= 80; i++) {
            loss.weigh(SAMPLE, lab(i).text(), 20, 25, 24.8 - 0.01 * (i % 7));
        }

        JudgedDay judged = judge(plasma.run(), loss.run());

        assertThat(judged.results()).hasSize(80 * 4);
        assertThat(judged.causes()).isEmpty();
    }

    @Test
    void passesOverARunOfACalculatedMethod() {
        DerivedMethod calculated = new DerivedMethod(
                Bench.head("ratios", List.of(Bench.analyte("R", Unit.ONE, 1, Double.NaN))),
                List.of(),
                List.of(),
                List.of(),
                List.of(),
                Optional.empty());
        Run full = icp().soils(1, 5).icp(Role.VERIFICATION, "QC", 10, 20).run();
        Run wrong = MadeRun.of("r-1", "ratios")
                .instrument("instrument 1")
                .startedAt(Bench.START)
                .readings(full.readings())
                .run();
        MethodBook methods = Bench.METHODS.with(List.of(calculated));

        JudgedDay judged = DayJudge.judge(Bench.day(Map.of(), List.of(), full, wrong), methods);

        assertThat(judged.results()).isEqualTo(judge(full).results());
    }

    @Test
    void saysTheSameTwice() {
        Day day = Bench.day(
                Map.of(lab(3), "LOAM"),
                List.of(),
                icp().soils(1, 40).icp(Role.VERIFICATION, "QC", 10, 17).run());

        assertThat(judge(day)).isEqualTo(judge(day));
    }
}
