package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * Days of plasma written by hand in which the quality control is missing, too thin or off. Content of soil is ten times that of the extract; the
 * reporting limits are 3 mg/kg of P and 10 of K.
 */
class QualityControlDaysTest {
    private static Bench standards() {
        return new Bench("icp-1", Bench.ICP)
                .icp(Role.STANDARD, "WS1", 0, 0)
                .icp(Role.STANDARD, "WS2", 2, 4)
                .icp(Role.STANDARD, "WS4", 10, 20)
                .icp(Role.STANDARD, "WS6", 50, 100);
    }

    private static Bench check(Bench bench, double share) {
        return bench.icp(Role.VERIFICATION, "QC", 10 * share, 20);
    }

    private static Bench blankAndControl(Bench bench) {
        return bench.icp(Role.BLANK, "BLANK", 0, 0).icp(Role.CONTROL, "LOAM", 3, 15);
    }

    private static JudgedDay judge(Run... runs) {
        return DayJudge.judge(Bench.day(Map.of(), List.of(), runs), Bench.METHODS);
    }

    private static JudgedDay judge(Policy policy, Run run) {
        return judge(policy, OptionalInt.of(40), run);
    }

    private static JudgedDay judge(Policy policy, OptionalInt n, Run... runs) {
        Day day = Bench.day(Map.of(), List.of(), runs);
        List<Material> materials = day.materials().stream()
                .map(one ->
                        new Material(one.material(), one.method(), one.analyte(), one.mean(), one.sd(), one.unit(), n))
                .toList();
        return DayJudge.judge(
                MadeDay.like(day)
                        .laboratory(MadeLaboratory.named("Own")
                                .invented(true)
                                .policy(policy)
                                .laboratory())
                        .materials(materials)
                        .day(),
                Bench.METHODS);
    }

    private static List<Verdict> verdicts(JudgedDay judged, String analyte) {
        return judged.results().stream()
                .filter(result -> result.analyte().equals(analyte))
                .map(Result::verdict)
                .toList();
    }

    private static Cause only(JudgedDay judged, CauseKind kind) {
        assertThat(judged.causes()).extracting(Cause::kind).containsExactly(kind);
        return judged.causes().get(0);
    }

    // ---- nothing read

    @Test
    void aCalibrationAndFiveSoilsAreHeldForEverythingThatIsMissing() {
        JudgedDay judged = judge(standards().soils(1, 5).run());

        assertThat(judged.causes()).extracting(Cause::kind).containsOnly(CauseKind.CONTROL_MISSING);
        assertThat(judged.gates())
                .filteredOn(gate -> !gate.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.KNOWN_SOLUTIONS, Gate.BLANK, Gate.OWN_CONTROL);
        assertThat(judged.results()).hasSize(10).allMatch(result -> result.verdict() == Verdict.HOLD);
    }

    @Test
    void aDayWithoutABlankIsHeld() {
        Bench bench = check(standards(), 1).icp(Role.CONTROL, "LOAM", 3, 15).soils(1, 5);
        JudgedDay judged = judge(check(bench, 1).run());

        assertThat(only(judged, CauseKind.CONTROL_MISSING).evidence())
                .contains("Before the first soil no blank that can be judged was read for P, K.");
        assertThat(judged.results()).hasSize(10).allMatch(result -> result.verdict() == Verdict.HOLD);
    }

    // ---- too many soils between two checks

    @Test
    void ofFortySoilsBetweenTwoChecksTheLastTwentyAreHeld() {
        JudgedDay judged = judge(
                check(blankAndControl(check(standards(), 1)).soils(1, 40), 1).run());

        Cause cause = only(judged, CauseKind.CONTROL_MISSING);
        assertThat(cause.evidence()).contains("40 soils of P without a check solution between them (allowed 20)");
        assertThat(cause.samples()).isEqualTo(20);
        assertThat(cause.firstPosition()).isEqualTo(28);
        List<Verdict> verdicts = verdicts(judged, "P");
        assertThat(verdicts.subList(0, 20)).containsOnly(Verdict.FIT);
        assertThat(verdicts.subList(20, 40)).containsOnly(Verdict.HOLD);
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 10, 40})
    void theIntervalIsTheLaboratorys(int allowed) {
        Policy policy = Policy.defaults().with(Setting.CHECK_INTERVAL_SOILS, allowed);
        JudgedDay judged = judge(
                policy,
                check(blankAndControl(check(standards(), 1)).soils(1, 40), 1).run());

        assertThat(verdicts(judged, "P").stream().filter(verdict -> verdict == Verdict.HOLD))
                .hasSize(allowed == 10 ? 30 : 0);
    }

    // ---- a check that failed before it passed

    @Test
    void fourFailuresBeforeAPassHoldTheRun() {
        Bench bench = standards();
        for (int i = 0; i < 4; i++) {
            check(bench, 1.17);
        }
        JudgedDay judged =
                judge(check(blankAndControl(check(bench, 1)).soils(1, 5), 1).run());

        Cause cause = only(judged, CauseKind.VERIFICATION_FAILED);
        assertThat(cause.evidence())
                .contains("P 117 % of check solution QC at position 5")
                .contains("4 readings failed before position 9 (4 since the calibration, allowed 1)");
        assertThat(verdicts(judged, "P")).hasSize(5).containsOnly(Verdict.HOLD);
        assertThat(verdicts(judged, "K")).hasSize(5).containsOnly(Verdict.FIT);
        assertThat(judged.gates())
                .filteredOn(gate -> !gate.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.KNOWN_SOLUTIONS);
    }

    @Test
    void oneFailureBeforeAPassIsTold() {
        JudgedDay judged =
                judge(check(blankAndControl(check(check(standards(), 1.17), 1)).soils(1, 5), 1)
                        .run());

        Cause cause = only(judged, CauseKind.VERIFICATION_FAILED);
        assertThat(cause.verdict()).isEqualTo(Verdict.FIT);
        assertThat(cause.samples()).isZero();
        assertThat(cause.evidence()).contains("P 117 % of check solution QC at position 5", "allowed 1");
        assertThat(verdicts(judged, "P")).hasSize(5).containsOnly(Verdict.FIT);
    }

    // ---- numbers below everything that was read

    @Test
    void aNumberBelowTheLowestStandardWaitsWhereTheLaboratoryAsksForALowLevelCheck() {
        Bench bench = blankAndControl(check(standards(), 1));
        bench.icp(Role.SAMPLE, Bench.lab(1).text(), 0.4, 15)
                .icp(Role.SAMPLE, Bench.lab(2).text(), 3, 15);
        Run run = check(bench, 1).run();

        assertThat(verdicts(judge(run), "P")).containsOnly(Verdict.FIT);
        JudgedDay asked = judge(Policy.defaults().with(Setting.LOW_LEVEL_CHECK, 1), run);
        assertThat(only(asked, CauseKind.CONTROL_MISSING).evidence())
                .contains("No standard or check solution of P below 2 mg/L was read before them (20 mg/kg of soil)");
        assertThat(verdicts(asked, "P")).containsExactly(Verdict.HOLD, Verdict.FIT);
    }

    // ---- a blank below zero

    @Test
    void aBlankBelowZeroByTwiceTheReportingLimitHoldsPoorSoils() {
        Bench bench = check(standards(), 1)
                .icp(Role.BLANK, "BLANK", -0.6, 0)
                .icp(Role.CONTROL, "LOAM", 3, 15)
                .icp(Role.SAMPLE, Bench.lab(1).text(), 0.11, 15);
        JudgedDay judged = judge(check(bench, 1).run());

        // 6 mg/kg are added to every soil: the control soil comes to +4 standard deviations, 1.1 mg/kg to 7.1.
        assertThat(judged.causes()).extracting(Cause::kind).contains(CauseKind.BLANK_HIGH);
        assertThat(judged.causes())
                .filteredOn(cause -> cause.kind() == CauseKind.BLANK_HIGH)
                .singleElement()
                .satisfies(cause -> assertThat(cause.evidence())
                        .isEqualTo("P -0.6 mg/L in the blank at position 6 (allowed -0.3 to 0.15)."));
        assertThat(verdicts(judged, "P")).containsExactly(Verdict.HOLD);
        assertThat(verdicts(judged, "K")).containsExactly(Verdict.FIT);
    }

    // ---- control soils

    /** Five control soils off by so many standard deviations of 1.5 mg/kg P, four soils after each. */
    private static Run controls(double... z) {
        Bench bench = check(standards(), 1).icp(Role.BLANK, "BLANK", 0, 0);
        int soil = 1;
        for (double each : z) {
            bench.icp(Role.CONTROL, "LOAM", 3 + 0.15 * each, 15).soils(soil, 4);
            soil += 4;
        }
        return check(bench, 1).run();
    }

    @Test
    void fiveControlSoilsThatPassAndLieOffTogetherAreACause() {
        JudgedDay judged = judge(controls(2.9, 2.8, 2.9, 2.9, 2.8));

        Cause cause = only(judged, CauseKind.CONTROL_TREND);
        assertThat(cause.analytes()).containsExactly("P");
        assertThat(cause.evidence())
                .contains("P +2.9 standard deviations, mean of 5", "rules 2-2s, 4-1s", "0.1 such false alarms");
        assertThat(verdicts(judged, "P")).hasSize(20).containsOnly(Verdict.HOLD);
        assertThat(verdicts(judged, "K")).hasSize(20).containsOnly(Verdict.FIT);
    }

    @Test
    void fiveControlSoilsThatScatterAreNone() {
        assertThat(judge(controls(2.4, -1.2, 0.3, 1.6, -0.8)).causes()).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(ints = {7, 10, 20, 60, 1000})
    void theLimitOfAControlSoilKnowsHowManyResultsAreBehindIt(int n) {
        // Two-sided at 0.0005 for two analytes: Student's t of n - 1 degrees, times sqrt(1 + 1/n); calculated with
        // SciPy 1.17.1, stats.t.ppf.
        double limit =
                Map.of(7, 8.240, 10, 6.114, 20, 4.602, 60, 3.931, 1000, 3.677).getOrDefault(n, 0.0);
        JudgedDay inside = judge(Policy.defaults(), OptionalInt.of(n), controls(limit - 0.1));
        JudgedDay outside = judge(Policy.defaults(), OptionalInt.of(n), controls(limit + 0.1));

        assertThat(inside.causes()).isEmpty();
        assertThat(only(outside, CauseKind.CONTROL_FAILED).evidence()).contains("P +");
    }

    @Test
    void aControlSoilKnownFromSixResultsGuardsNothing() {
        JudgedDay judged = judge(Policy.defaults(), OptionalInt.of(6), controls(0));

        assertThat(only(judged, CauseKind.CONTROL_MISSING).evidence())
                .contains("no open control soil of known content was read for P, K");
        assertThat(judged.results()).allMatch(result -> result.verdict() == Verdict.HOLD);
    }
}
