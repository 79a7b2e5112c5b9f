package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.instruments.ExtractModel;

/** Faults planted in the runs of flow analysis, plasma and electrodes on a day of every method. */
class RoutineFaultTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final MethodBook METHODS = MethodFiles.shipped();

    private static Scenario all(Fault fault) {
        Options usual = Options.defaults();
        return new Scenario(34, 700, List.of(fault), DATE, new Options(false, false, 4, usual.zone(), true));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "carry-over",
                "carry-over@PASTECHLORIDE-01",
                "drift@KCLNITROGEN-01",
                "over-range@CHLORIDEWATER-01",
                "verification-failed@NH4OACBASES-01",
                "standard-wrong@CHLORIDEWATER-01,size=-0.4",
                "calibration-rejected@BUFFERPHSMP-01"
            })
    void findsThePlantedFaultAndBlamesNoOtherRun(String text) {
        Fault fault = Fault.parse(text);
        SimulatedDay simulated = Simulator.simulate(all(fault));
        JudgedDay judged = DayJudge.judge(simulated.day(), METHODS);
        Planted planted = simulated.truth().faults().get(0);
        assertThat(judged.causes())
                .as(text)
                .allSatisfy(cause -> assertThat(cause.run()).isEqualTo(planted.run()));
        Set<String> ids = judged.causes().stream()
                .filter(cause -> cause.kind() == fault.kind())
                .map(Cause::id)
                .collect(Collectors.toSet());
        assertThat(ids).as("%s: %s", text, judged.causes()).isNotEmpty();
        Set<LabNumber> touched = judged.results().stream()
                .filter(result -> result.causes().stream().anyMatch(ids::contains))
                .map(Result::labNumber)
                .collect(Collectors.toCollection(TreeSet::new));
        if (fault.kind() == CauseKind.DRIFT) {
            // The wash before the onset opens the bracket: it may reach back over soils that were read well.
            assertThat(touched).as(text).containsAnyElementsOf(planted.labNumbers());
        } else {
            assertThat(touched).as(text).containsExactlyInAnyOrderElementsOf(planted.labNumbers());
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"carry-over@DTPA-01", "drift@TEXTUREHYDROMETER-01", "blank-high@DTPA-01"})
    void refusesAFaultThatARunCannotHave(String text) {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Simulator.simulate(all(Fault.parse(text))))
                .withMessageContaining("cannot be planted");
    }

    @Test
    void plantsCarryOverInFlowAnalysisWhereThereIsSome() {
        assertThat(Simulator.simulate(all(Fault.of(CauseKind.CARRY_OVER)))
                        .truth()
                        .faults())
                .singleElement()
                .satisfies(planted -> assertThat(planted.method()).doesNotContain("icp"));
        assertThat(Simulator.simulate(Scenario.of(23, 60, DATE).with(Fault.of(CauseKind.CARRY_OVER)))
                        .truth()
                        .faults())
                .singleElement()
                .satisfies(planted -> assertThat(planted.method()).isEqualTo("mehlich3-icp"));
    }

    @Test
    void bendsTheColourOfFlowAnalysis() {
        // By hand: 1.7 x 0.4 - 0.25 x 0.16; from three times the highest standard on it runs straight.
        assertThat(ExtractModel.bent(0)).isZero();
        assertThat(ExtractModel.bent(0.4)).isCloseTo(0.64, within(1e-12));
        assertThat(ExtractModel.bent(4) - ExtractModel.bent(3)).isCloseTo(1.7, within(1e-12));
    }

    @Test
    void keepsThePasteInBalanceOfCharge() {
        SimulatedDay simulated = Simulator.simulate(all(Fault.parse("carry-over")));
        assertThat(simulated.truth().whole()).isNotEmpty().allSatisfy((number, soil) -> {
            if (!Double.isNaN(soil.of("paste-cations", "Ca"))) {
                double plus = soil.of("paste-cations", "Ca") / 20.04
                        + soil.of("paste-cations", "Mg") / 12.15
                        + soil.of("paste-cations", "Na") / 22.99
                        + soil.of("paste-cations", "K") / 39.1;
                double minus = soil.of("paste-cations", "S") / 16.03
                        + soil.of("paste-chloride", "Cl") / 35.45
                        + soil.of("paste-nitrate", "NO3-N") / 14.007
                        + soil.of("paste-bicarbonate", "HCO3")
                        + soil.of("paste-bicarbonate", "CO3");
                assertThat(minus).as("%s", number).isCloseTo(plus, within(0.005 * plus));
            }
        });
    }

    @Test
    void writesWhatIsTrueByMethod(@TempDir Path folder) throws Exception {
        Simulator.simulate(all(Fault.parse("carry-over"))).truth().write(folder);
        List<String> lines = Files.readAllLines(folder.resolve("truth-methods.csv"));
        assertThat(lines.get(0)).isEqualTo("lab_number,method,analyte,value");
        assertThat(lines)
                .anyMatch(line -> line.contains(",kcl-nitrogen,NO3-N,"))
                .anyMatch(line -> line.contains(",ec-paste,EC,"));
    }

    /** What is weighed, titrated or dipped into by hand is mixed up as everything else is, and nothing else changes. */
    @ParameterizedTest
    @ValueSource(strings = {"ec-1-1", "texture-hydrometer", "oc-wet-oxidation", "moisture-air-dry"})
    void handsMixUpTheSoilsOfTheirOwnRunsAlone(String method) {
        Fault fault = Fault.parse("neighbours-exchanged,fields=any,method=" + method);
        SimulatedDay clean = Simulator.simulate(
                new Scenario(34, 700, List.of(), DATE, all(fault).options()));
        SimulatedDay mixed = Simulator.simulate(all(fault));
        Planted planted = mixed.truth().faults().get(0);
        assertThat(planted.labNumbers()).hasSize(2);
        Set<String> changed = new HashSet<>();
        for (int r = 0; r < clean.day().runs().size(); r++) {
            Readings before = clean.day().runs().get(r).readings();
            Readings after = mixed.day().runs().get(r).readings();
            assertThat(after.size()).isEqualTo(before.size());
            for (int i = 0; i < before.size(); i++) {
                if (before.value(i) != after.value(i)) {
                    changed.add(clean.day().runs().get(r).method() + " " + before.identity(i));
                }
            }
        }
        assertThat(changed)
                .isNotEmpty()
                .allMatch(one -> planted.labNumbers().stream().anyMatch(lab -> one.equals(method + " " + lab.text())));
    }
}
