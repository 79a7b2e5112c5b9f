package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;

class CauseTest {
    private static Cause blank(List<ResultKey> touched) {
        return Cause.of(
                CauseKind.BLANK_HIGH,
                "ICP-1",
                List.of(new Stretch(
                        "ICP-1", "mehlich3-icp", Verdict.REDO, List.of("Ca"), 12, 107, touched, "Ca 0.3 mg/L.")),
                "Look for the source.",
                OptionalDouble.empty(),
                Optional.empty(),
                List.of());
    }

    @Test
    void aBlankThatMattersToNoSoilTouchesNoResult() {
        assertThat(blank(List.of()).touchesResults()).isFalse();
        assertThat(blank(List.of(new ResultKey(new LabNumber("26329-0001-5"), "mehlich3-icp", "Ca")))
                        .touchesResults())
                .isTrue();
    }
}
