package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.lab;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.RunJudgement.Judged;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.PaperRun;
import org.tenmesh.core.reduction.Role;

/** Runs of flow analysis, conductivity, formulas and overlapping lines, with one thing wrong in each. */
class RunJudgeTest {
    // 0.1 absorbance a mg/L over a baseline of 0.05; 1 g in 10 mL, so that a soil holds ten times its extract.
    private static final FlowMethod FLOW = PaperRun.flow(
            extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
            analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 2));

    private static PaperRun peak(PaperRun run, Role role, String identity, double mgPerL) {
        return run.read(role, identity, "peak", 0.05 + 0.1 * mgPerL);
    }

    private static PaperRun wash(PaperRun run, double absorbance) {
        return run.read(Role.WASH, "W", "peak", absorbance);
    }

    private static PaperRun start(double baselineBeforeSoils, double lowAfterHigh) {
        PaperRun run = new PaperRun(FLOW);
        wash(run, 0.05);
        for (double mgPerL : new double[] {0, 1, 2, 5, 10, 20}) {
            run.known("S" + mgPerL, "P", mgPerL);
            peak(run, Role.STANDARD, "S" + mgPerL, mgPerL);
        }
        run.known("QC", "P", 5).known("CO-low", "P", 1).known("CO-high", "P", 20);
        peak(run, Role.VERIFICATION, "QC", 5);
        peak(run, Role.BLANK, "B", 0);
        peak(run, Role.VERIFICATION, "CO-low", 1);
        peak(run, Role.VERIFICATION, "CO-high", 20);
        peak(run, Role.VERIFICATION, "CO-low", lowAfterHigh);
        // Positions 1 to 13.
        return wash(run, baselineBeforeSoils);
    }

    private static PaperRun soils(PaperRun run, int from, int n) {
        IntStream.range(from, from + n).forEach(i -> peak(run, Role.SAMPLE, lab(i), 2 + 0.1 * (i % 5)));
        return run;
    }

    private static PaperRun close(PaperRun run) {
        peak(run, Role.VERIFICATION, "QC", 5);
        return wash(run, 0.05);
    }

    private static Judged judged(RunJudgement judgement, String identity, String analyte) {
        return judgement.determinations().stream()
                .filter(one -> one.determination().identity().equals(identity)
                        && one.determination().analyte().equals(analyte))
                .findFirst()
                .orElseThrow();
    }

    private static GateOutcome gate(RunJudgement judgement, Gate gate) {
        return judgement.gates().stream()
                .filter(outcome -> outcome.gate() == gate)
                .findFirst()
                .orElseThrow();
    }

    private static Finding only(RunJudgement judgement, CauseKind kind) {
        assertThat(judgement.findings()).extracting(Finding::kind).containsExactly(kind);
        return judgement.findings().get(0);
    }

    @Test
    void letsACleanFlowRunThrough() {
        RunJudgement judgement = close(soils(start(0.05, 1), 1, 20)).judge();

        assertThat(judgement.findings()).isEmpty();
        assertThat(judgement.gates())
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.BLANK, Gate.BASELINE, Gate.CARRY_OVER);
        assertThat(judgement.gates()).allMatch(GateOutcome::open);
        // The last wash before the soils is position 13, 20 s a position after 09:00.
        assertThat(gate(judgement, Gate.BASELINE).at()).isEqualTo("2026-11-25T09:04:20Z");
        assertThat(judged(judgement, lab(5), "P").determination().amount().raw())
                .isCloseTo(20, within(1e-9));
    }

    @Test
    void holdsEverythingBehindABaselineThatMovesBeforeTheSoils() {
        PaperRun run = peak(soils(start(0.08, 1), 1, 5), Role.VERIFICATION, "QC", 5);
        RunJudgement judgement = wash(run, 0.08).judge();

        assertThat(gate(judgement, Gate.BASELINE).open()).isFalse();
        Finding drift = judgement.findings().stream()
                .filter(f -> f.kind() == CauseKind.DRIFT)
                .findFirst()
                .orElseThrow();
        assertThat(drift.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(drift.evidence()).contains("from 0.05 to 0.08", "positions 1 and 13", "allowed 0.02");
        assertThat(judgement.determinations()).allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    @Test
    void redoesTheBracketOverWhichTheBaselineMoved() {
        PaperRun run = wash(soils(start(0.05, 1), 1, 10), 0.05);
        wash(soils(run, 11, 10), 0.09);
        close(wash(soils(run, 21, 10), 0.09));
        // The closing wash is back at 0.05: the stretch of the closing known solution moved too, but holds no soil.
        RunJudgement judgement = run.judge();

        List<Finding> drifts = judgement.findings().stream()
                .filter(f -> f.kind() == CauseKind.DRIFT)
                .toList();
        assertThat(drifts).singleElement().satisfies(drift -> {
            assertThat(drift.verdict()).isEqualTo(Verdict.REDO);
            assertThat(drift.firstPosition()).isEqualTo(25);
            assertThat(drift.lastPosition()).isEqualTo(34);
        });
        assertThat(judged(judgement, lab(10), "P").findings()).isEmpty();
        assertThat(judged(judgement, lab(11), "P").verdict()).isEqualTo(Verdict.REDO);
        assertThat(judged(judgement, lab(20), "P").verdict()).isEqualTo(Verdict.REDO);
        assertThat(judged(judgement, lab(21), "P").findings()).isEmpty();
    }

    @Test
    void holdsEverythingBehindTooMuchCarryOver() {
        // 0.6 of 20 mg/L is 3 %, and 2 % are allowed.
        RunJudgement judgement = close(soils(start(0.05, 1.6), 1, 5)).judge();

        Finding carried = only(judgement, CauseKind.CARRY_OVER);
        assertThat(carried.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(carried.evidence()).contains("3 % of a peak", "allowed 2 %");
        assertThat(gate(judgement, Gate.CARRY_OVER).open()).isFalse();
        assertThat(judgement.determinations()).allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    @Test
    void redoesWhatFollowsASaturatedPeakAndTakesTheDilutedReadingOfTheSoilItself() {
        PaperRun run = soils(start(0.05, 1), 1, 3);
        run.read(Role.SAMPLE, lab(4), "peak", 2.5);
        soils(run, 5, 3);
        run.diluted(10, Role.SAMPLE, lab(4), "peak", 0.05 + 0.1 * 8);
        RunJudgement judgement = close(run).judge();

        Judged diluted = judged(judgement, lab(4), "P");
        assertThat(diluted.verdict()).isEqualTo(Verdict.FIT);
        assertThat(diluted.determination().amount().raw()).isCloseTo(800, within(1e-9));
        Judged next = judged(judgement, lab(5), "P");
        assertThat(next.verdict()).isEqualTo(Verdict.REDO);
        assertThat(only(judgement, CauseKind.CARRY_OVER).evidence())
                .contains(lab(5) + " at position 18 follows a peak too high to be read");
        assertThat(judged(judgement, lab(6), "P").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void callsASaturatedSoilOverRange() {
        PaperRun run = soils(start(0.05, 1), 1, 3);
        run.read(Role.SAMPLE, lab(4), "peak", 2.7);
        RunJudgement judgement = close(run).judge();

        Finding over = only(judgement, CauseKind.OVER_RANGE);
        assertThat(over.evidence()).isEqualTo(lab(4) + " P saturated the detector.");
        assertThat(over.action()).startsWith("Dilute these extracts");
        assertThat(judged(judgement, lab(4), "P").determination().amount()).isInstanceOf(Amount.Saturated.class);
        assertThat(judged(judgement, lab(4), "P").verdict()).isEqualTo(Verdict.REDO);
    }

    @Test
    void judgesBlanksAndKnownSolutionsInExtractUnits() {
        PaperRun run = soils(start(0.05, 1), 1, 5);
        // Half the reporting limit of 2 mg/kg is 0.1 mg/L of extract.
        peak(run, Role.BLANK, "B", 0.3);
        soils(run, 6, 5);
        peak(run, Role.VERIFICATION, "QC", 5.6);
        soils(run, 11, 5);
        RunJudgement judgement = close(run).judge();

        assertThat(judgement.findings())
                .extracting(Finding::kind)
                .containsExactlyInAnyOrder(CauseKind.BLANK_HIGH, CauseKind.VERIFICATION_FAILED);
        assertThat(judgement.findings())
                .extracting(Finding::evidence)
                .anyMatch(text -> text.contains("P 0.3 mg/L in the blank at position 19 (allowed -0.2 to 0.1)"))
                .anyMatch(text -> text.contains("P 112 % of check solution QC at position 25"));
    }

    // ---- overlapping lines

    private static PaperRun emission(double share) {
        PaperRun run = new PaperRun(PaperRun.emission(
                extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
                List.of(analyte("B", Unit.MILLIGRAM_PER_KILOGRAM, 0.1), analyte("Fe", Unit.MILLIGRAM_PER_KILOGRAM, 1)),
                List.of(new EmissionMethod.Overlap("B 200.000", "Fe", share))));
        for (double mgPerL : new double[] {0, 1, 10, 100}) {
            run.known("S" + mgPerL, "B", mgPerL / 50).known("S" + mgPerL, "Fe", mgPerL);
            run.read(
                    Role.STANDARD,
                    "S" + mgPerL,
                    "B 200.000",
                    1000 * (mgPerL / 50 + share * mgPerL),
                    "Fe 200.000",
                    50 * mgPerL);
        }
        return run;
    }

    @Test
    void holdsAResultOfWhichOtherElementsMadeUpTooMuch() {
        // Of 0.1 mg/L read, iron makes up 0.03: more than a fifth. Of 0.5 mg/L it makes up little.
        RunJudgement judgement = emission(0.001)
                .read(Role.SAMPLE, lab(1), "B 200.000", 100, "Fe 200.000", 50 * 30)
                .read(Role.SAMPLE, lab(2), "B 200.000", 500, "Fe 200.000", 50 * 30)
                .judge();

        Finding found = only(judgement, CauseKind.INTERFERENCE);
        assertThat(found.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(found.analytes()).containsExactly("B");
        assertThat(found.evidence())
                .isEqualTo(lab(1) + " at position 5, line B 200.000: Fe made up 0.03 of 0.1 mg/L read.");
        assertThat(judged(judgement, lab(1), "B").determination().amount().raw())
                .isCloseTo(0.7, within(1e-9));
        assertThat(judged(judgement, lab(1), "Fe").verdict()).isEqualTo(Verdict.FIT);
        assertThat(judged(judgement, lab(2), "B").verdict()).isEqualTo(Verdict.FIT);
    }

    @Test
    void holdsACorrectionOfMoreThanTenReportingLimits() {
        // 0.15 mg/L of 1 mg/L read is less than a fifth, and fifteen times the reporting limit of 0.01 mg/L.
        RunJudgement judgement = emission(0.003)
                .read(Role.SAMPLE, lab(1), "B 200.000", 1000, "Fe 200.000", 50 * 50)
                .judge();

        assertThat(only(judgement, CauseKind.INTERFERENCE).evidence()).contains("Fe made up 0.15 of 1 mg/L read");
    }

    @Test
    void holdsWhatASaturatedElementMayHaveAddedTo() {
        RunJudgement judgement = emission(0.001)
                .read(Role.SAMPLE, lab(1), "B 200.000", 500, "Fe 200.000", 1e9)
                .judge();

        assertThat(judgement.findings())
                .extracting(Finding::kind)
                .containsExactlyInAnyOrder(CauseKind.INTERFERENCE, CauseKind.OVER_RANGE);
        assertThat(judgement.findings())
                .extracting(Finding::evidence)
                .contains(lab(1) + " at position 5, line B 200.000: what Fe adds is not known there.");
        assertThat(judged(judgement, lab(1), "B").verdict()).isEqualTo(Verdict.HOLD);
    }

    // ---- conductivity

    private static PaperRun cell(double cellFactor) {
        return new PaperRun(PaperRun.conductivity())
                .known("KCl", "EC", 1.413)
                .known("QC", "EC", 0.5)
                .under("1")
                .read(Role.STANDARD, "KCl", "conductance", 1.413 / cellFactor, "temperature", 25);
    }

    @Test
    void holdsTheSoilsOfACellOutsideItsWindow() {
        RunJudgement judgement = cell(1.3)
                .read(Role.SAMPLE, lab(1), "conductance", 0.4, "temperature", 20)
                .judge();

        Finding found = only(judgement, CauseKind.CALIBRATION_REJECTED);
        assertThat(found.evidence()).isEqualTo("Cell 1: factor 1.3, expected 0.8 to 1.2.");
        assertThat(found.action()).startsWith("Clean or replace cell 1");
        assertThat(judged(judgement, lab(1), "EC").verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void judgesConductivityByItsKnownSolutionItsRangeAndItsDuplicates() {
        RunJudgement judgement = cell(1).read(Role.VERIFICATION, "QC", "conductance", 0.5, "temperature", 25)
                .read(Role.SAMPLE, lab(1), "conductance", 0.4, "temperature", 25)
                .read(Role.DUPLICATE, lab(1), "conductance", 0.5, "temperature", 25)
                .read(Role.SAMPLE, lab(2), "conductance", 2.1, "temperature", 25)
                .read(Role.SAMPLE, lab(3), "conductance", 0.3, "temperature", 40)
                .read(Role.VERIFICATION, "QC", "conductance", 0.53, "temperature", 25)
                .judge();

        assertThat(judgement.findings())
                .extracting(Finding::kind)
                .containsExactlyInAnyOrder(
                        CauseKind.VERIFICATION_FAILED,
                        CauseKind.DUPLICATES_DISAGREE,
                        CauseKind.OVER_RANGE,
                        CauseKind.MISSING_READING);
        assertThat(judgement.findings())
                .extracting(Finding::evidence)
                .contains(
                        "EC 0.53 dS/m for known 0.5 of QC at position 7 in cell 1 (allowed 0.025 either way).",
                        "Two portions of " + lab(1) + " gave EC 0.4 and 0.5 dS/m (allowed difference 0.0675).",
                        lab(2) + " EC about 2.1 dS/m, range ends at 2.",
                        "Position 6: 40 °C lies outside the temperatures the factor holds for.");
    }

    // ---- formulas

    @Test
    void saysWhichReadingOfAFormulaIsMissingOrImpossible() {
        RunJudgement judgement = new PaperRun(PaperRun.moisture())
                .read(Role.SAMPLE, lab(1), "tin", 20, "air_dry", 45.5, "oven_dry", 44.0)
                .read(Role.SAMPLE, lab(2), "tin", 20, "air_dry", 45.5)
                .read(Role.SAMPLE, lab(3), "tin", 0.2, "air_dry", 45.5, "oven_dry", 44.0)
                // The tins of two soils changed over: the soil would have gained in the oven.
                .read(Role.SAMPLE, lab(4), "tin", 20, "air_dry", 40, "oven_dry", 44.0)
                .judge();

        assertThat(judgement.findings())
                .extracting(Finding::kind)
                .containsExactly(
                        CauseKind.MISSING_READING, CauseKind.WEIGHING_IMPOSSIBLE, CauseKind.WEIGHING_IMPOSSIBLE);
        assertThat(judgement.findings())
                .extracting(Finding::evidence)
                .containsExactly(
                        "Position 2: no reading of oven dry.",
                        "Position 3, tin 0.2 g, expected 1 to 500 g.",
                        "Position 4, moisture -16.67 % is not possible, expected not below -0.2.");
        assertThat(judged(judgement, lab(1), "moisture").verdict()).isEqualTo(Verdict.FIT);
        assertThat(judged(judgement, lab(4), "moisture").verdict()).isEqualTo(Verdict.REDO);
    }

    @Test
    void aReadingThatOneResultNeedsDoesNotTakeTheOtherAway() {
        RunJudgement judgement = new PaperRun(PaperRun.hydrometer())
                .read(Role.BLANK, "B", "early", 4, "late", 4)
                .read(Role.SAMPLE, lab(1), "soil", 40, "early", 26)
                .judge();

        assertThat(judged(judgement, lab(1), "S40").verdict()).isEqualTo(Verdict.FIT);
        assertThat(judged(judgement, lab(1), "S40").determination().amount().raw())
                .isCloseTo(55, within(1e-9));
        assertThat(judged(judgement, lab(1), "S2h").verdict()).isEqualTo(Verdict.HOLD);
        assertThat(only(judgement, CauseKind.MISSING_READING).analytes()).containsExactly("S2h");
    }

    @Test
    void aFormulaWithoutItsBlankHasNoResult() {
        RunJudgement judgement = new PaperRun(PaperRun.hydrometer())
                .read(Role.SAMPLE, lab(1), "soil", 40, "early", 26, "late", 12)
                .judge();

        assertThat(only(judgement, CauseKind.MISSING_READING).evidence())
                .isEqualTo("Position 1: no reading of early in a blank.");
        assertThat(judgement.determinations()).allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    @Test
    void judgesAFormulaByKnownMaterialsDuplicatesAndControls() {
        RunJudgement judgement = new PaperRun(PaperRun.moisture())
                .known("SALT", "moisture", 5)
                .material("LOAM", "moisture", 6, 0.1)
                .read(Role.VERIFICATION, "SALT", "tin", 20, "air_dry", 31, "oven_dry", 30)
                .read(Role.CONTROL, "LOAM", "tin", 20, "air_dry", 30.6, "oven_dry", 30)
                .read(Role.SAMPLE, lab(1), "tin", 20, "air_dry", 30.2, "oven_dry", 30)
                .read(Role.DUPLICATE, lab(1), "tin", 20, "air_dry", 30.3, "oven_dry", 30)
                .read(Role.VERIFICATION, "SALT", "tin", 20, "air_dry", 30.5, "oven_dry", 30)
                .judge();

        // 10 % and not 5: the gate; 2 % and 3 %: further apart than 0.3.
        assertThat(gate(judgement, Gate.KNOWN_SOLUTIONS).open()).isFalse();
        assertThat(gate(judgement, Gate.OWN_CONTROL).open()).isTrue();
        assertThat(judgement.findings())
                .extracting(Finding::kind)
                .containsExactlyInAnyOrder(CauseKind.VERIFICATION_FAILED, CauseKind.DUPLICATES_DISAGREE);
        assertThat(judgement.controlValues())
                .singleElement()
                .satisfies(value -> assertThat(value.z()).isCloseTo(0, within(1e-9)));
    }

    // One value of a run exceeds 3.48 standard deviations by chance in 0.0005, one of two 3.66 (1 - 0.9995^(1/2),
    // two-sided normal).
    @Test
    void countsResultsOfOneMeasurementOnce() {
        PaperRun one = new PaperRun(PaperRun.moisture())
                .material("LOAM", "moisture", 6, 0.1)
                .read(Role.CONTROL, "LOAM", "tin", 20, "air_dry", 30.6, "oven_dry", 30);
        PaperRun two = new PaperRun(PaperRun.hydrometer())
                .material("LOAM", "S40", 55, 1)
                .material("LOAM", "S2h", 20, 1)
                .read(Role.BLANK, "B", "early", 4, "late", 4)
                .read(Role.CONTROL, "LOAM", "soil", 40, "early", 26, "late", 12);

        // Student's t of 39 degrees at 0.0005 / 2, times sqrt(1 + 1/40); for two at half of that chance.
        assertThat(gate(one.judge(), Gate.OWN_CONTROL).limit()).isEqualTo("within 3.84 standard deviations");
        assertThat(gate(two.judge(), Gate.OWN_CONTROL).limit()).isEqualTo("within 4.08 standard deviations");
    }
}
