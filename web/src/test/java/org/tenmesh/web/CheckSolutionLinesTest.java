package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.OffsetDateTime;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.runs.RunView;

/** The check solutions along a run are drawn whatever the export called its lines. */
class CheckSolutionLinesTest {
    @ParameterizedTest
    @ValueSource(strings = {" ", "", "_"})
    void areDrawnForEverySpellingOfALine(String blank) {
        InventedDay invented = InventedDay.of(24, Ashgrove.METHODS);
        OffsetDateTime at = invented.day().runs().get(0).startedAt();
        ExtractionMethod method = (ExtractionMethod) Ashgrove.METHODS.of("mehlich3-icp", at.toLocalDate());
        Extraction.Line line = method.lines().stream()
                .filter(Extraction.Line::preferred)
                .findFirst()
                .orElseThrow();
        Readings.Builder readings = Readings.builder();
        for (int position = 1; position <= 3; position++) {
            readings.add(
                    position,
                    Role.VERIFICATION,
                    "second source",
                    "1",
                    line.quantity().replace(" ", blank),
                    1000 - position,
                    Unit.PER_SECOND,
                    at.plusMinutes(position),
                    1);
        }
        Run run = MadeRun.of("ICP-9", "mehlich3-icp")
                .instrument("plasma 9")
                .startedAt(at)
                .readings(readings.build())
                .run();
        Desk desk = new Desk(
                "2026-11-25",
                1,
                invented.day(),
                invented.judged(),
                Ashgrove.METHODS,
                List.of(),
                List.of(),
                at.toLocalDate(),
                List.of(),
                List.of(),
                new DerivedSoils());

        assertThat(RunView.of(desk, run, false, 1).lines()).contains("Check solutions along the run");
    }
}
