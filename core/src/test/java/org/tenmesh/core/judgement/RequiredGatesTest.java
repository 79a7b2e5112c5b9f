package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.lab;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.PaperRun;
import org.tenmesh.core.reduction.Role;

/** Runs on paper in which everything that was read is right and one thing was not read at all. */
class RequiredGatesTest {
    private static final FlowMethod FLOW = PaperRun.flow(
            extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
            analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 2));
    private static final EmissionMethod PLASMA = PaperRun.emission(
            extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
            List.of(analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 2), analyte("K", Unit.MILLIGRAM_PER_KILOGRAM, 2)),
            List.of());

    // 0.1 absorbance a mg/L over a baseline of 0.05.
    private static PaperRun flow(Set<Gate> without) {
        PaperRun run = new PaperRun(FLOW).material("LOAM", "P", 50, 1).known("QC", "P", 5);
        run.known("CO-low", "P", 1).known("CO-high", "P", 20);
        if (!without.contains(Gate.BASELINE)) {
            run.read(Role.WASH, "W", "peak", 0.05);
        }
        for (double mgPerL : new double[] {0, 1, 2, 5, 10, 20}) {
            run.known("S" + mgPerL, "P", mgPerL);
            run.read(Role.STANDARD, "S" + mgPerL, "peak", 0.05 + 0.1 * mgPerL);
        }
        if (!without.contains(Gate.KNOWN_SOLUTIONS)) {
            run.read(Role.VERIFICATION, "QC", "peak", 0.55);
        }
        if (!without.contains(Gate.BLANK)) {
            run.read(Role.BLANK, "B", "peak", 0.05);
        }
        if (!without.contains(Gate.CARRY_OVER)) {
            run.read(Role.VERIFICATION, "CO-low", "peak", 0.15)
                    .read(Role.VERIFICATION, "CO-high", "peak", 2.05)
                    .read(Role.VERIFICATION, "CO-low", "peak", 0.15);
        }
        if (!without.contains(Gate.OWN_CONTROL)) {
            run.read(Role.CONTROL, "LOAM", "peak", 0.55);
        }
        // The last wash stands for the baseline under the soils; one alone is no drift that can be judged.
        return run.read(Role.WASH, "W", "peak", 0.05);
    }

    private static PaperRun soils(PaperRun run) {
        for (int i = 1; i <= 3; i++) {
            run.read(Role.SAMPLE, lab(i), "peak", 0.3);
        }
        return run.read(Role.VERIFICATION, "QC", "peak", 0.55);
    }

    @Test
    void aRunThatCarriesEverythingIsFit() {
        RunJudgement judgement = soils(flow(Set.of())).judgeWithItsGates();

        assertThat(judgement.findings()).isEmpty();
        assertThat(judgement.gates()).hasSize(Gate.values().length).allMatch(GateOutcome::open);
        assertThat(judgement.determinations()).hasSize(3).allMatch(one -> one.verdict() == Verdict.FIT);
    }

    @ParameterizedTest
    @EnumSource(value = Gate.class, mode = EnumSource.Mode.EXCLUDE, names = "CALIBRATION")
    void whatWasNotReadShutsItsGateAndHoldsEverySoil(Gate gate) {
        RunJudgement judgement = soils(flow(EnumSet.of(gate))).judgeWithItsGates();

        assertThat(judgement.findings()).singleElement().satisfies(finding -> {
            assertThat(finding.kind()).isEqualTo(CauseKind.CONTROL_MISSING);
            assertThat(finding.verdict()).isEqualTo(Verdict.HOLD);
            assertThat(finding.analytes()).containsExactly("P");
            assertThat(finding.evidence())
                    .startsWith("Before the first soil no ")
                    .endsWith(" was read for P.");
        });
        assertThat(judgement.gates())
                .filteredOn(outcome -> !outcome.open())
                .extracting(GateOutcome::gate)
                .containsExactly(gate);
        assertThat(judgement.determinations()).hasSize(3).allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    /** US EPA SW-846 method 8000D, section 11.5.1.1: five levels for a straight line, six for a quadratic. */
    @ParameterizedTest
    @CsvSource({"LINE, 4, true", "LINE, 5, false", "QUADRATIC, 5, true", "QUADRATIC, 6, false"})
    void aCurveThroughFewerStandardsThanItsSourceAsksForHoldsItsSoils(
            Extraction.Shape shape, int levels, boolean held) {
        PaperRun run = new PaperRun(PaperRun.emission(
                extraction(1, 10, Extraction.Basis.MASS, shape),
                List.of(analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 2)),
                List.of()));
        run.material("LOAM", "P", 50, 1).known("QC", "P", 5);
        for (int level = 0; level < levels; level++) {
            double mgPerL = 20.0 * level / (levels - 1);
            run.known("S" + level, "P", mgPerL);
            // Read twice: a second reading of a standard is no further level.
            run.read(Role.STANDARD, "S" + level, "P 200.000", 300 + 4000 * mgPerL)
                    .read(Role.STANDARD, "S" + level, "P 200.000", 300 + 4000 * mgPerL);
        }
        run.read(Role.VERIFICATION, "QC", "P 200.000", 20_300)
                .read(Role.BLANK, "B", "P 200.000", 300)
                .read(Role.CONTROL, "LOAM", "P 200.000", 20_300)
                .read(Role.SAMPLE, lab(1), "P 200.000", 24_300)
                .read(Role.VERIFICATION, "QC", "P 200.000", 20_300);

        RunJudgement judgement = run.judgeWithItsGates();

        assertThat(judgement.gates())
                .filteredOn(outcome -> outcome.gate() == Gate.CALIBRATION)
                .singleElement()
                .satisfies(outcome -> assertThat(outcome.open()).isNotEqualTo(held));
        if (held) {
            assertThat(judgement.findings()).singleElement().satisfies(finding -> {
                assertThat(finding.kind()).isEqualTo(CauseKind.CONTROL_MISSING);
                assertThat(finding.evidence()).contains(levels + " different contents, " + (levels + 1) + " needed");
            });
        } else {
            assertThat(judgement.findings()).isEmpty();
        }
    }

    @Test
    void aRunWithoutAnyOfThemIsHeldForEachByItself() {
        Set<Gate> all = EnumSet.complementOf(EnumSet.of(Gate.CALIBRATION));

        RunJudgement judgement = soils(flow(all)).judgeWithItsGates();

        assertThat(judgement.findings())
                .hasSize(all.size())
                .allMatch(finding -> finding.kind() == CauseKind.CONTROL_MISSING);
        assertThat(judgement.gates())
                .filteredOn(GateOutcome::open)
                .extracting(GateOutcome::gate)
                .containsExactly(Gate.CALIBRATION);
    }

    @Test
    void aRunThatHasNoSoilYetWaits() {
        assertThat(flow(Set.of(Gate.BLANK)).judgeWithItsGates().findings()).isEmpty();
    }

    @Test
    void aCheckAfterTheFirstSoilComesTooLateForTheGate() {
        PaperRun run = flow(Set.of(Gate.OWN_CONTROL)).read(Role.SAMPLE, lab(1), "peak", 0.3);
        run.read(Role.CONTROL, "LOAM", "peak", 0.55).read(Role.VERIFICATION, "QC", "peak", 0.55);

        assertThat(run.judgeWithItsGates().findings())
                .extracting(Finding::kind)
                .containsExactly(CauseKind.CONTROL_MISSING);
    }

    @Test
    void aControlOfWhichNothingIsKnownIsNone() {
        // Its material states P alone: what was read of K is compared with nothing.
        PaperRun run = new PaperRun(PLASMA)
                .material("LOAM", "P", 50, 1)
                .known("QC", "P", 5)
                .known("QC", "K", 5);
        for (double mgPerL : new double[] {0, 2, 5, 10, 20}) {
            run.known("S" + mgPerL, "P", mgPerL).known("S" + mgPerL, "K", mgPerL);
            run.read(Role.STANDARD, "S" + mgPerL, "P 200.000", 1000 * mgPerL, "K 200.000", 1000 * mgPerL);
        }
        run.read(Role.VERIFICATION, "QC", "P 200.000", 5000, "K 200.000", 5000)
                .read(Role.BLANK, "B", "P 200.000", 0, "K 200.000", 0)
                .read(Role.CONTROL, "LOAM", "P 200.000", 5000, "K 200.000", 5000)
                .read(Role.SAMPLE, lab(1), "P 200.000", 3000, "K 200.000", 3000)
                .read(Role.VERIFICATION, "QC", "P 200.000", 5000, "K 200.000", 5000);

        RunJudgement judgement = run.judgeWithItsGates();

        assertThat(judgement.findings()).singleElement().satisfies(finding -> {
            assertThat(finding.kind()).isEqualTo(CauseKind.CONTROL_MISSING);
            assertThat(finding.evidence())
                    .isEqualTo("Before the first soil no open control soil of known content was read for K.");
        });
        assertThat(judgement.determinations())
                .filteredOn(one -> one.determination().analyte().equals("P"))
                .allMatch(one -> one.verdict() == Verdict.FIT);
        assertThat(judgement.determinations())
                .filteredOn(one -> one.determination().analyte().equals("K"))
                .allMatch(one -> one.verdict() == Verdict.HOLD);
    }

    @Test
    void aControlThatIsAboveTheRangeAsItMustBeWasRead() {
        // 25 mg/L where the standards end at 20: 250 mg/kg of soil, and 260 are known.
        PaperRun known = flow(Set.of(Gate.OWN_CONTROL)).material("RICH", "P", 260, 5);
        known.read(Role.CONTROL, "RICH", "peak", 2.45);
        PaperRun poor = flow(Set.of(Gate.OWN_CONTROL)).read(Role.CONTROL, "LOAM", "peak", 2.45);

        assertThat(soils(known).judgeWithItsGates().findings())
                .extracting(Finding::kind)
                .doesNotContain(CauseKind.CONTROL_MISSING);
        assertThat(soils(poor).judgeWithItsGates().findings())
                .extracting(Finding::kind)
                .contains(CauseKind.CONTROL_MISSING);
    }

    @Test
    void aControlForAllReadingsOfAFormulaJudgesWhatRestsOnSomeOfThem() {
        PaperRun run = new PaperRun(PaperRun.formula(
                        List.of(analyte("first", Unit.PERCENT, 0), analyte("both", Unit.PERCENT, 0)),
                        List.of(PaperRun.quantity("one", "g", 0, 100), PaperRun.quantity("two", "g", 0, 100)),
                        List.of(),
                        PaperRun.result("first", PaperRun.name("one"), 0, 100),
                        PaperRun.result(
                                "both",
                                PaperRun.of(Operation.ADD, PaperRun.name("one"), PaperRun.name("two")),
                                0,
                                100)))
                .material("LOAM", "both", 5, 0.1)
                .read(Role.CONTROL, "LOAM", "one", 0, "two", 5)
                .read(Role.SAMPLE, lab(1), "one", 1, "two", 5);

        assertThat(run.judgeWithItsGates().findings()).isEmpty();
    }

    @Test
    void aCellWithoutAKnownSolutionIsHeldAndItsNeighbourIsNot() {
        PaperRun run = new PaperRun(PaperRun.conductivity())
                .known("KCl", "EC", 1.413)
                .known("QC", "EC", 0.5)
                .material("LOAM", "EC", 0.3, 0.01);
        for (String cell : List.of("1", "2")) {
            run.under(cell).read(Role.STANDARD, "KCl", "conductance", 1.413, "temperature", 25);
        }
        run.under("1").read(Role.VERIFICATION, "QC", "conductance", 0.5, "temperature", 25);
        run.under("1").read(Role.CONTROL, "LOAM", "conductance", 0.3, "temperature", 25);
        run.under("1").read(Role.SAMPLE, lab(1), "conductance", 0.4, "temperature", 25);
        run.under("2").read(Role.SAMPLE, lab(2), "conductance", 0.4, "temperature", 25);
        run.under("1").read(Role.VERIFICATION, "QC", "conductance", 0.5, "temperature", 25);

        RunJudgement judgement = run.judgeWithItsGates();

        assertThat(judgement.findings())
                .singleElement()
                .satisfies(
                        finding -> assertThat(finding.evidence())
                                .isEqualTo(
                                        "Before the first soil no check solution that can be judged was read for EC in cell 2."));
        assertThat(judgement.determinations())
                .extracting(one -> one.verdict())
                .containsExactly(Verdict.FIT, Verdict.HOLD);
    }
}
