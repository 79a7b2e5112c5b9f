package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.HashSet;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** The numbers of the causes of a whole day: each failing one lies outside what is allowed, and none tells a hidden control. */
class MeasuresOfADayTest {
    @Test
    void areOutsideWhatIsAllowedAndTellNoHiddenControl() {
        Scenario scenario = Scenario.of(7, 600, LocalDate.of(2026, 11, 25));
        for (CauseKind kind : new CauseKind[] {
            CauseKind.DRIFT, CauseKind.CONTROL_FAILED, CauseKind.BLANK_HIGH, CauseKind.VERIFICATION_FAILED
        }) {
            scenario = scenario.with(Fault.of(kind));
        }
        JudgedDay judged = DayJudge.judge(Simulator.simulate(scenario).day(), MethodFiles.shipped());
        Set<String> hidden = new HashSet<>();
        for (ControlValue value : judged.controlValues()) {
            if (value.hidden()) {
                hidden.add(value.run() + " " + value.position());
            }
        }
        assertThat(hidden).isNotEmpty();
        Set<Measure.Kind> seen = new HashSet<>();
        for (Cause cause : judged.causes()) {
            for (Stretch stretch : cause.stretches()) {
                for (Measure one : stretch.measures()) {
                    seen.add(one.kind());
                    assertThat(one.found()).as("%s %s", cause.id(), one).isFinite();
                    if (one.kind() == Measure.Kind.CONTROL_SOIL) {
                        assertThat(hidden)
                                .as("%s %s", cause.id(), one)
                                .doesNotContain(stretch.run() + " " + one.position());
                    }
                }
            }
            boolean failed = cause.kind() == CauseKind.CONTROL_FAILED
                    || cause.kind() == CauseKind.BLANK_HIGH
                    || cause.kind() == CauseKind.VERIFICATION_FAILED;
            if (failed) {
                assertThat(cause.measure())
                        .as(cause.id())
                        .get()
                        .satisfies(worst -> assertThat(worst.isOutside()).isTrue());
            }
        }
        assertThat(seen).contains(Measure.Kind.CHECK_SOLUTION, Measure.Kind.BLANK, Measure.Kind.CONTROL_SOIL);
    }
}
