package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Withdrawal;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** An order can be taken back until a run that began after it has read one of its trays. */
class WithdrawalTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final Day DAY = Simulator.simulate(
                    Scenario.of(11, 300, DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED)))
            .day();
    private static final JudgedDay JUDGED = DayJudge.judge(DAY, METHODS);
    private static final Cause CAUSE = JUDGED.causes().stream()
            .filter(cause -> cause.kind() == CauseKind.CALIBRATION_REJECTED)
            .findFirst()
            .orElseThrow();

    private static Desk desk(List<Acted> acted) {
        return new Desk(
                "2026-11-25",
                1,
                DAY,
                JUDGED,
                METHODS,
                List.of(),
                acted,
                DATE,
                List.of(),
                List.of(),
                new DerivedSoils());
    }

    private static Acted acted(Action action, String at) {
        return new Acted("2026-11-25", Grounds.of(CAUSE), action, "", "T. Byrne", Instant.parse(at));
    }

    @Test
    void onlyAnOrderThatNothingWasReadForCanBeTakenBack() {
        assertThat(Withdrawal.refused(desk(List.of()), CAUSE)).isPresent();
        Acted evening = acted(Action.ORDER_REDO, "2026-11-25T23:00:00Z");
        assertThat(Withdrawal.refused(desk(List.of(evening)), CAUSE)).isEmpty();
        // Ordered before the day's runs began: they have read its trays since.
        Acted before = acted(Action.ORDER_REDO, "2026-11-24T00:00:00Z");
        assertThat(Withdrawal.refused(desk(List.of(before)), CAUSE))
                .hasValueSatisfying(said -> assertThat(said).contains("has read a tray of this order"));
        Acted taken = acted(Action.WITHDRAW, "2026-11-25T23:10:00Z");
        assertThat(desk(List.of(evening, taken)).decision(CAUSE.id())).isEmpty();
    }
}
