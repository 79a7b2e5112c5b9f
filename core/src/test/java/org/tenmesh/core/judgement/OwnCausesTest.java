package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.lab;

import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.PaperRun;
import org.tenmesh.core.reduction.Role;

/** Plasma runs on paper, without any scatter, with one thing wrong that the run shows by itself. */
class OwnCausesTest {
    private static final EmissionMethod METHOD = PaperRun.emission(
            extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
            List.of(analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 2), analyte("K", Unit.MILLIGRAM_PER_KILOGRAM, 2)),
            List.of());
    private static final double[] LEVELS = {0, 2, 5, 10, 20, 50};

    private static PaperRun read(PaperRun run, double dilution, Role role, String identity, double p, double k) {
        return run.diluted(dilution, role, identity, "P 200.000", 1000 * p, "K 200.000", 5000 * k);
    }

    private static PaperRun read(PaperRun run, Role role, String identity, double p, double k) {
        return read(run, 1, role, identity, p, k);
    }

    // Positions 1 to 8; the fifth standard is what is asked for, in P and in K.
    private static PaperRun start(double fifthP, double fifthK) {
        return start(fifthP, fifthK, 0);
    }

    private static PaperRun start(double fifthP, double fifthK, double inTheBlank) {
        PaperRun run = new PaperRun(METHOD);
        for (int i = 0; i < LEVELS.length; i++) {
            run.known("S" + i, "P", LEVELS[i]).known("S" + i, "K", LEVELS[i]);
            boolean fifth = LEVELS[i] == 20;
            read(run, Role.STANDARD, "S" + i, fifth ? fifthP : LEVELS[i], fifth ? fifthK : LEVELS[i]);
        }
        run.known("QC", "P", 10).known("QC", "K", 10);
        read(run, Role.BLANK, "B", inTheBlank, 0);
        return read(run, Role.VERIFICATION, "QC", 10, 10);
    }

    // Tens of soils, each ten followed by the check, of which P is off by a share.
    private static PaperRun soils(PaperRun run, int tens, IntToDoubleFunction off) {
        for (int ten = 0; ten < tens; ten++) {
            for (int i = 0; i < 10; i++) {
                read(run, Role.SAMPLE, lab(1 + 10 * ten + i), 8, 9);
            }
            read(run, Role.VERIFICATION, "QC", 10 * (1 + off.applyAsDouble(ten + 1)), 10);
        }
        return run;
    }

    private static Finding only(RunJudgement judgement, CauseKind kind) {
        assertThat(judgement.findings()).extracting(Finding::kind).containsExactly(kind);
        return judgement.findings().get(0);
    }

    private static Verdict verdict(RunJudgement judgement, String identity, String analyte) {
        return judgement.determinations().stream()
                .filter(one -> one.determination().identity().equals(identity)
                        && one.determination().analyte().equals(analyte))
                .findFirst()
                .orElseThrow()
                .verdict();
    }

    @Test
    void namesTheStandardThatIsWrongInAllItsElements() {
        RunJudgement judgement = soils(start(22, 22), 3, i -> 0).judge();

        Finding wrong = only(judgement, CauseKind.STANDARD_WRONG);
        assertThat(wrong.evidence()).startsWith("Standard S4 holds 110 % of its label by the others");
        assertThat(wrong.analytes()).containsExactly("P", "K");
        assertThat(wrong.action()).startsWith("Prepare S4 again, read it, recalculate.");
        assertThat(wrong.log10Odds().orElseThrow()).isGreaterThan(3);
        assertThat(judgement.gates())
                .filteredOn(gate -> !gate.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.CALIBRATION);
        assertThat(judgement.determinations()).allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    @Test
    void holdsOneElementAloneWhenTheStandardIsWrongInOne() {
        RunJudgement judgement = soils(start(18, 20), 3, i -> 0).judge();

        assertThat(only(judgement, CauseKind.STANDARD_WRONG).analytes()).containsExactly("P");
        assertThat(verdict(judgement, lab(1), "P")).isEqualTo(Verdict.HOLD);
        assertThat(verdict(judgement, lab(1), "K")).isEqualTo(Verdict.FIT);
    }

    @Test
    void holdsTheLatePartOfADriftThatNeverFailsACheck() {
        RunJudgement judgement = soils(start(20, 20), 8, i -> 0.009 * i).judge();

        Finding drift = only(judgement, CauseKind.DRIFT);
        assertThat(drift.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(drift.analytes()).containsExactly("P");
        assertThat(drift.evidence()).contains("+7.2 %").contains("its tolerance of 10 % reached in about 34");
        // Half the within-laboratory standard deviation of 5 % is passed after three checks.
        assertThat(verdict(judgement, lab(25), "P")).isEqualTo(Verdict.FIT);
        assertThat(verdict(judgement, lab(35), "P")).isEqualTo(Verdict.HOLD);
        assertThat(verdict(judgement, lab(75), "K")).isEqualTo(Verdict.FIT);
    }

    @Test
    void doesNotTakeACheckThatIsOffFromTheStartForADrift() {
        assertThat(soils(start(20, 20), 8, i -> 0.05).judge().findings()).isEmpty();
    }

    @Test
    void countsAControlThatFailsForADriftAsItsWitness() {
        PaperRun run = start(20, 20).material("LOAM", "P", 80, 1).material("LOAM", "K", 90, 1);
        soils(run, 8, i -> 0.009 * i);
        read(run, Role.CONTROL, "LOAM", 8 * 1.075, 9.01);
        read(run, Role.VERIFICATION, "QC", 10 * 1.08, 10);
        RunJudgement judgement = run.judge();

        assertThat(judgement.findings()).extracting(Finding::kind).containsOnly(CauseKind.DRIFT);
        assertThat(judgement.findings())
                .extracting(Finding::evidence)
                .anyMatch(text -> text.contains("a control soil confirms it: P +6 standard deviations"));
    }

    @Test
    void readsAgainWhatGainedTooMuchFromTheTubeBefore() {
        // Three per cent of every tube shows in the next one, in P.
        PaperRun run = start(20, 20, 0.03 * 50);
        double before = 10;
        for (int i = 0; i < 40; i++) {
            double own = i == 20 ? 45 : i % 8 == 7 ? 0 : 8;
            Role role = i % 8 == 7 ? Role.BLANK : Role.SAMPLE;
            if (i == 21) {
                own = 2;
            }
            read(run, role, role == Role.BLANK ? "B" : lab(i + 1), own + 0.03 * before, role == Role.BLANK ? 0 : 9);
            before = own;
        }
        read(run, Role.VERIFICATION, "QC", 10 + 0.03 * before, 10);
        RunJudgement judgement = run.judge();

        Finding carried = only(judgement, CauseKind.CARRY_OVER);
        assertThat(carried.evidence()).startsWith("P 3 ±").contains(lab(22) + " at position 30");
        assertThat(carried.action()).contains("longer rinse");
        assertThat(verdict(judgement, lab(22), "P")).isEqualTo(Verdict.REDO);
        assertThat(verdict(judgement, lab(23), "P")).isEqualTo(Verdict.FIT);
        assertThat(verdict(judgement, lab(22), "K")).isEqualTo(Verdict.FIT);
    }

    @Test
    void saysHowAnExtractWasDilutedInTruth() {
        PaperRun run = soils(start(20, 20), 1, i -> 0);
        read(run, Role.SAMPLE, lab(50), 40, 60);
        // Recorded as five, in truth tenfold: K above range the first time stands from the second.
        read(run, 5, Role.SAMPLE, lab(50), 4, 6);
        read(run, Role.VERIFICATION, "QC", 10, 10);
        PaperRun other = soils(start(20, 20), 1, i -> 0);
        read(other, Role.SAMPLE, lab(50), 40, 60);
        read(other, 5, Role.SAMPLE, lab(50), 8, 12);
        read(other, Role.VERIFICATION, "QC", 10, 10);

        assertThat(other.judge().findings()).isEmpty();
        // One element in range both times is not enough to speak of a dilution.
        assertThat(run.judge().findings()).extracting(Finding::kind).doesNotContain(CauseKind.DILUTION_MISMATCH);

        PaperRun two = soils(start(20, 20), 1, i -> 0);
        read(two, Role.SAMPLE, lab(50), 40, 44);
        read(two, 5, Role.SAMPLE, lab(50), 4, 4.4);
        read(two, Role.VERIFICATION, "QC", 10, 10);
        assertThat(only(two.judge(), CauseKind.DILUTION_MISMATCH).evidence())
                .contains("recorded as diluted 5-fold, gives 50 %")
                .endsWith("diluted 10-fold.");
    }

    private static PaperRun controls(double p, double k) {
        PaperRun run = start(20, 20)
                .material("LOAM", "P", 80, 3)
                .material("LOAM", "K", 90, 3)
                .material("SAND", "P", 20, 1)
                .material("SAND", "K", 150, 4);
        read(run, Role.CONTROL, "LOAM", p, k);
        return run;
    }

    @Test
    void takesAnOpenControlThatIsAnotherSoilForNoFailure() {
        RunJudgement alone = soils(controls(2.01, 15.1), 2, i -> 0).judge();
        Finding mistaken = only(alone, CauseKind.CONTROL_MATERIAL_MISTAKEN);
        assertThat(mistaken.evidence()).contains("open control LOAM at position 9 gave what SAND gives");
        assertThat(mistaken.runnerUp())
                .hasValueSatisfying(next -> assertThat(next.kind()).isEqualTo(CauseKind.CONTROL_FAILED));
        // The right soil was not read: the gate waits.
        assertThat(alone.gates())
                .filteredOn(gate -> !gate.open())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.OWN_CONTROL);
        assertThat(alone.determinations()).allMatch(one -> one.verdict() == Verdict.HOLD);
        assertThat(alone.controlValues()).isEmpty();

        PaperRun another = soils(controls(2.01, 15.1), 1, i -> 0);
        read(another, Role.CONTROL, "LOAM", 8.1, 9.1);
        RunJudgement answered = soils(another, 1, i -> 0).judge();
        only(answered, CauseKind.CONTROL_MATERIAL_MISTAKEN);
        assertThat(answered.determinations()).allMatch(one -> one.verdict() == Verdict.FIT);

        assertThat(soils(controls(4, 4.5), 2, i -> 0).judge().findings())
                .extracting(Finding::kind)
                .containsOnly(CauseKind.CONTROL_FAILED);
    }

    @Test
    void leavesAHiddenControlThatIsNotToBeBelievedOut() {
        PaperRun run = soils(controls(8, 9), 2, i -> 0);
        read(run, Role.SAMPLE, lab(90), 2, 15);
        soils(run, 1, i -> 0);
        LabNumber hidden = new LabNumber(lab(90));
        RunJudgement believed =
                RunJudge.judge(run.reduce(), run.references(), Map.of(hidden, "LOAM"), Policy.defaults());
        RunJudgement disregarded = RunJudge.judge(
                run.reduce(), run.references(), Map.of(hidden, "LOAM"), Set.of(hidden), List.of(), Policy.defaults());

        only(believed, CauseKind.CONTROL_FAILED);
        assertThat(disregarded.findings()).isEmpty();
        assertThat(disregarded.controlValues())
                .allMatch(value -> !value.identity().equals(lab(90)));
    }
}
