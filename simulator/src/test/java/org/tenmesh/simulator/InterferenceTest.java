package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;

/** An element in another's line that the method does not know of. The pairs and shares are invented, of a plausible size. */
class InterferenceTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final int SOILS = 1000;
    private static final int DAYS = 6;

    private static SimulatedDay day(int seed, String... faults) {
        Scenario scenario = Scenario.of(1000L * (900 + seed), SOILS, DATE);
        for (String fault : faults) {
            scenario = scenario.with(Fault.parse(fault));
        }
        return Simulator.simulate(scenario);
    }

    private static List<Cause> interferences(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.INTERFERENCE)
                .toList();
    }

    private static Set<LabNumber> touched(JudgedDay judged, Cause cause) {
        return judged.results().stream()
                .filter(result -> result.causes().contains(cause.id()))
                .map(Result::labNumber)
                .collect(Collectors.toCollection(TreeSet::new));
    }

    @ParameterizedTest
    @CsvSource({"B,Fe,0.002", "Zn,Fe,0.006", "Cu,Ca,0.0006", "P,Fe,0.08", "S,Ca,0.003"})
    void isNamedWithItsElementAndItsSoils(String analyte, String from, double size) {
        int named = 0;
        int rightly = 0;
        int planted = 0;
        int held = 0;
        int both = 0;
        for (int seed = 0; seed < DAYS; seed++) {
            SimulatedDay simulated =
                    day(seed, "interference@ICP1-02,analytes=" + analyte + ",from=" + from + ",size=" + size);
            Planted truth = simulated.truth().faults().get(0);
            JudgedDay judged = DayJudge.judge(simulated.day(), METHODS);
            for (Cause cause : interferences(judged)) {
                assertThat(cause.run()).isEqualTo(truth.run());
                assertThat(cause.analytes()).isEqualTo(truth.analytes());
                named++;
                rightly += cause.evidence().contains("the more " + from + " they hold") ? 1 : 0;
                Set<LabNumber> touched = touched(judged, cause);
                planted += truth.labNumbers().size();
                held += touched.size();
                touched.retainAll(truth.labNumbers());
                both += touched.size();
            }
        }
        assertThat(named).as("of " + DAYS + " days").isGreaterThanOrEqualTo(DAYS - 1);
        assertThat(rightly).isGreaterThanOrEqualTo(named - 2);
        assertThat(both).as("found of " + planted).isGreaterThan(planted * 8 / 10);
        assertThat(both).as("rightly of " + held).isGreaterThan(held * 8 / 10);
    }

    /** Each run's few control soils say little; those of all its runs say it together. */
    @Test
    void isNamedInEveryRunOfAnInstrumentThatHasIt() {
        int runs = 0;
        for (int seed = 0; seed < DAYS; seed++) {
            SimulatedDay simulated = day(
                    seed,
                    "interference@ICP1-01,analytes=Zn,from=Fe,size=0.004",
                    "interference@ICP1-02,analytes=Zn,from=Fe,size=0.004",
                    "interference@ICP1-03,analytes=Zn,from=Fe,size=0.004");
            for (Cause cause : interferences(DayJudge.judge(simulated.day(), METHODS))) {
                assertThat(cause.run()).startsWith("ICP1");
                assertThat(cause.analytes()).containsExactly("Zn");
                runs++;
            }
        }
        assertThat(runs).as("runs of " + 3 * DAYS).isGreaterThanOrEqualTo(3 * DAYS - 4);
    }

    @Test
    void isNotSeenWhereThereIsNone() {
        for (int seed = 0; seed < DAYS; seed++) {
            assertThat(interferences(DayJudge.judge(day(seed).day(), METHODS))).isEmpty();
            assertThat(interferences(DayJudge.judge(
                            day(seed, "standard-wrong@ICP1-02,analytes=Zn,size=0.1")
                                    .day(),
                            METHODS)))
                    .isEmpty();
        }
    }

    @Test
    void sharesAndElementsThatCannotBeAreRefused() {
        assertThatThrownBy(() -> day(1, "interference@ICP1-02,analytes=B,from=B"))
                .hasMessageContaining("other than the analyte");
        assertThatThrownBy(() -> day(1, "interference@ICP1-02,analytes=B,from=Xx"))
                .hasMessageContaining("expected an element of");
        assertThatThrownBy(() -> day(1, "interference@ICP1-02,size=0")).hasMessageContaining("mg/L above 0");
        assertThatThrownBy(() -> day(1, "interference@ICP1-02,size=1e-9")).hasMessageContaining("changes no result");
    }
}
