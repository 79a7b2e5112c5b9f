package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;

/** The judge meets days whose truth is known; models and judge share no constant. */
class JudgedDayTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final MethodBook METHODS = MethodFiles.shipped();

    private static JudgedDay judge(SimulatedDay simulated) {
        return DayJudge.judge(simulated.day(), METHODS);
    }

    /** The kinds the judge names on such a day. */
    static Set<CauseKind> found() {
        return EnumSet.of(
                CauseKind.CALIBRATION_REJECTED,
                CauseKind.VERIFICATION_FAILED,
                CauseKind.BLANK_HIGH,
                CauseKind.CONTROL_FAILED,
                CauseKind.STANDARD_WRONG,
                CauseKind.DILUTION_MISMATCH,
                CauseKind.DRIFT,
                CauseKind.OVER_RANGE,
                CauseKind.INTERNAL_STANDARD_LOST,
                CauseKind.WEIGHING_IMPOSSIBLE,
                CauseKind.DUPLICATES_DISAGREE,
                CauseKind.REPEATED_FILE,
                CauseKind.TRUNCATED_RUN,
                CauseKind.MISSING_READING);
    }

    @ParameterizedTest
    @MethodSource("found")
    void findsEveryKindOfPlantedFaultWithItsSoils(CauseKind kind) {
        finds(Fault.of(kind));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "standard-wrong@ICP1-01,size=-0.3",
                "standard-wrong@PH1-01",
                "verification-failed@PH1-01",
                "control-failed@PH2-01",
                "control-failed@ICP2-01:150",
                "drift@PH1-01",
                "drift@ICP1-02,analytes=B,size=-0.04",
                "duplicates-disagree@PH1-01",
                "duplicates-disagree@ICP1-01",
                "missing-reading@LOI1-01",
                "missing-reading@ICP1-01:77",
                "truncated-run@ICP1-01",
                "over-range@ICP2-01:40",
                "repeated-file@ICP1-01"
            })
    void findsFaultsInOtherPlaces(String fault) {
        finds(Fault.parse(fault));
    }

    @Test
    void findsAllKindsOnOneDay() {
        Scenario scenario = Scenario.of(7, 2000, DATE);
        for (CauseKind kind : found()) {
            scenario = scenario.with(Fault.of(kind));
        }
        SimulatedDay simulated = Simulator.simulate(scenario);
        JudgedDay judged = judge(simulated);
        assertThat(simulated.truth().faults()).hasSize(found().size());
        simulated.truth().faults().forEach(planted -> found(planted, judged));
    }

    private static void finds(Fault fault) {
        SimulatedDay simulated = Simulator.simulate(Scenario.of(11, 600, DATE).with(fault));
        found(simulated.truth().faults().get(0), judge(simulated));
    }

    // Where a calibration is rejected because of one standard, the judge names the standard.
    private static boolean names(CauseKind found, CauseKind planted) {
        return found == planted || planted == CauseKind.CALIBRATION_REJECTED && found == CauseKind.STANDARD_WRONG;
    }

    private static void found(Planted planted, JudgedDay judged) {
        CauseKind kind = planted.kind();
        List<Cause> found = judged.causes().stream()
                .filter(cause -> names(cause.kind(), kind) && cause.run().equals(planted.run()))
                .toList();
        assertThat(found)
                .as("planted %s in %s, found %s", planted, planted.run(), judged.causes())
                .isNotEmpty();
        assertThat(found.stream().flatMap(cause -> cause.analytes().stream()))
                .as("%s", found)
                .containsAll(planted.analytes());
        Set<LabNumber> touched = new TreeSet<>();
        found.forEach(cause -> touched.addAll(cause.labNumbers()));
        switch (kind) {
            // A high blank touches only the soils that hold less than ten times as much.
            case BLANK_HIGH -> assertThat(planted.labNumbers()).containsAll(touched);
            // Of trays never begun the judge cannot know that the run was to read them.
            case TRUNCATED_RUN -> assertThat(planted.labNumbers()).containsAll(touched);
            // Beyond its tolerance a drift is read again; where it grew towards it, soils wait.
            case DRIFT -> {
                assertThat(touched).containsAll(planted.labNumbers());
                Set<LabNumber> again = found.stream()
                        .flatMap(cause -> cause.stretches().stream())
                        .filter(stretch -> stretch.verdict() == Verdict.REDO)
                        .flatMap(stretch -> stretch.touched().stream())
                        .map(ResultKey::labNumber)
                        .collect(Collectors.toCollection(TreeSet::new));
                assertThat(again).isEqualTo(new TreeSet<>(planted.labNumbers()));
            }
            default ->
                assertThat(touched).as("soils touched by %s", found).isEqualTo(new TreeSet<>(planted.labNumbers()));
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {21, 22, 23})
    void leavesACleanDayAlone(long seed) {
        SimulatedDay simulated = Simulator.simulate(Scenario.of(seed, 1000, DATE));
        JudgedDay judged = judge(simulated);
        long unfit = judged.results().stream()
                .filter(result -> result.verdict() != Verdict.FIT)
                .count();
        // A day without faults still has chance: duplicates and controls at the edge. One in a hundred is the most.
        assertThat((double) unfit / judged.results().size())
                .as("seed %d, causes %s", seed, judged.causes())
                .isLessThan(0.01);
    }

    @Test
    void givesTheTrueContentsBack() {
        SimulatedDay simulated = Simulator.simulate(Scenario.of(31, 600, DATE));
        Map<LabNumber, SoilContent> truth =
                simulated.truth().specimens().stream().collect(Collectors.toMap(Specimen::number, Specimen::content));
        JudgedDay judged = judge(simulated);
        int far = 0;
        int compared = 0;
        for (Result result : judged.results()) {
            if (result.amount() instanceof Amount.Measured measured) {
                SoilContent content = requireNonNull(truth.get(result.labNumber()));
                int e = Element.indexOf(result.analyte());
                double expected =
                        result.analyte().equals("pH") ? content.ph() : e < 0 ? content.loiPct() : content.mgKg()[e];
                double sd = switch (result.method()) {
                    case ElectrodeModel.METHOD -> ElectrodeModel.totalSd();
                    case IgnitionModel.METHOD -> IgnitionModel.totalSd(expected);
                    default -> Element.ALL.get(e).totalSd(expected);
                };
                compared++;
                far += Math.abs(measured.value() - expected) > 3 * sd ? 1 : 0;
            }
        }
        assertThat(compared).isGreaterThan(600 * 13);
        // Three standard deviations: 0.3 % by chance; runs share their calibration, so up to three times that.
        assertThat((double) far / compared).isLessThan(0.009);
    }
}
