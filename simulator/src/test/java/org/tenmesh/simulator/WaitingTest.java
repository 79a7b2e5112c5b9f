package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Completeness;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;

/** On a day in progress, what only waits for a reading is not shown as something a person must decide. */
class WaitingTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private static boolean hasAReason(Result result) {
        return result.verdict() != Verdict.FIT
                && (!result.run().isEmpty() || !result.causes().isEmpty());
    }

    @Test
    void aWellIsHeldOnlyForWhatIsWrong() {
        Day day = Simulator.simulate(Scenario.demonstration(DATE)).day();
        Desk desk = new Desk(
                "2026-11-25",
                1,
                day,
                DayJudge.judge(day, METHODS),
                METHODS,
                List.of(),
                List.of(),
                DATE,
                List.of(),
                List.of(),
                new DerivedSoils());
        int onlyWaits = 0;
        int stillToRead = 0;
        for (TrayState tray : desk.trayStates()) {
            if (tray.lacking().isEmpty()) {
                continue;
            }
            for (int i = 0; i < tray.wells().size(); i++) {
                int well = i;
                LabNumber labNumber = tray.tray().wells().stream()
                        .filter(place -> place.well().index() == well)
                        .flatMap(place -> place.labNumber().stream())
                        .findFirst()
                        .orElse(null);
                if (labNumber == null) {
                    continue;
                }
                Soil soil = day.soils().stream()
                        .filter(one -> one.labNumber().equals(labNumber))
                        .findFirst()
                        .orElseThrow();
                List<Result> standing = desk.standing(labNumber);
                boolean held =
                        standing.stream().anyMatch(result -> result.verdict() != Verdict.FIT && !result.unread());
                boolean reason = standing.stream().anyMatch(WaitingTest::hasAReason);
                TrayState.WellState state = tray.wells().get(i);
                if (reason) {
                    assertThat(state)
                            .as("%s", labNumber)
                            .isIn(TrayState.WellState.HOLD, TrayState.WellState.REDO, TrayState.WellState.UNREAD);
                }
                boolean toRead = Completeness.of(desk, soil).all().stream()
                        .anyMatch(one -> one.state() == Completeness.State.UNREAD);
                stillToRead += toRead ? 1 : 0;
                if (held && !reason && toRead) {
                    onlyWaits++;
                    assertThat(state)
                            .as("%s", labNumber)
                            .isIn(TrayState.WellState.FIT, TrayState.WellState.UNREAD, TrayState.WellState.KEY);
                }
            }
        }
        assertThat(onlyWaits).as("soils of which only calculated results wait").isGreaterThan(20);
        assertThat(stillToRead).isGreaterThanOrEqualTo(onlyWaits);
    }
}
