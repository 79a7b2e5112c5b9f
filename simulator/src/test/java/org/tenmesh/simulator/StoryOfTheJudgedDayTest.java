package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** A story says what the judged day says, also where the day as a whole judged a run otherwise than the run alone. */
class StoryOfTheJudgedDayTest {
    private static final MethodBook METHODS = MethodFiles.shipped();

    @Test
    void equalsTheJudgedDayWhenAControlWasMistaken() {
        SimulatedDay simulated = Simulator.simulate(
                Scenario.of(5, 600, LocalDate.of(2026, 11, 25)).with(Fault.of(CauseKind.CONTROL_MATERIAL_MISTAKEN)));
        JudgedDay judged = DayJudge.judge(simulated.day(), METHODS);
        assertThat(judged.causes()).extracting(Cause::kind).contains(CauseKind.CONTROL_MATERIAL_MISTAKEN);
        Set<List<Object>> told = new HashSet<>();
        for (Result result : judged.results()) {
            // What runs, analyte and causes have in common stands around all of their results alike.
            if (!told.add(List.of(result.run(), result.analyte(), result.causes()))) {
                continue;
            }
            Story story = DayJudge.story(simulated.day(), METHODS, judged, result);
            String where = result.run() + " " + result.analyte();

            List<ControlValue> controls = judged.controlValues().stream()
                    .filter(value ->
                            value.run().equals(result.run()) && value.analyte().equals(result.analyte()))
                    .toList();
            long passed =
                    controls.stream().filter(value -> value.rules().isEmpty()).count();
            String ofControls = "Control soils of this run: " + passed + " of " + controls.size() + " passed for "
                    + result.analyte() + ".";
            assertThat(story.around().stream()
                            .filter(text -> text.startsWith("Control soils of this run"))
                            .toList())
                    .as(where)
                    .isEqualTo(controls.isEmpty() ? List.of() : List.of(ofControls));
            assertThat(story.around())
                    .last()
                    .isEqualTo("Verdict: " + result.verdict().word() + ".");
            List<GateOutcome> gates = judged.gates().stream()
                    .filter(gate -> gate.run().equals(result.run()))
                    .toList();
            assertThat(story.around().stream().filter(text -> text.startsWith("Gate ")))
                    .as(where)
                    .hasSize(gates.size());
            judged.causes().stream()
                    .filter(cause -> result.causes().contains(cause.id()))
                    .forEach(cause -> assertThat(story.around()).as(where).containsAll(cause.evidence(result.run())));
            if (result.amount() instanceof Amount.Measured measured) {
                assertThat(story.steps().get(story.steps().size() - 1).result())
                        .as(where)
                        .isEqualTo(measured.value());
            }
        }
        assertThat(told).hasSizeGreaterThan(40);
    }
}
