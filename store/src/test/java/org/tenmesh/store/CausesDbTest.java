package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.GateAct;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class CausesDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30.123456Z");
    private final Store store = OpenStore.get();

    @Test
    void keepsWhatWasDoneInOrderAndInTheJournal() {
        String day = takenDay();

        Acted redo = store.act(day, grounds("drift@P1#0123456789"), Action.ORDER_REDO, "", "M. Whelan", AT);
        Acted accept = store.act(
                day,
                grounds("duplicates-disagree@P2#0123456789"),
                Action.ACCEPT,
                " within the method's own spread ",
                "T. Byrne",
                AT);

        assertThat(store.actions(day)).containsExactly(redo, accept);
        assertThat(accept.reason()).isEqualTo("within the method's own spread");
        JournalEntry entry = store.journal(1).get(0);
        assertThat(entry.what()).isEqualTo("cause-acted");
        assertThat(entry.subject()).isEqualTo(day + "/duplicates-disagree@P2#0123456789");
        assertThat(entry.actor()).isEqualTo("T. Byrne");
        assertThat(entry.detail())
                .isEqualTo("{\"action\":\"accept\",\"evidence\":\"K fell by 7.1 %, limit 5 %\",\"evidence_digest\":\""
                        + "ab".repeat(32)
                        + "\",\"lab_numbers\":\"28\",\"reason\":\"within the method's own spread\",\"run\":\"P1\"}");
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @ParameterizedTest
    @EnumSource(Action.class)
    void wantsAReasonWhereOneIsNeeded(Action action) {
        String day = takenDay();
        if (action.needsReason()) {
            assertThatThrownBy(() -> store.act(day, grounds("c"), action, " ", "M. Whelan", AT))
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("needs a reason");
            assertThat(store.actions(day)).isEmpty();
        } else {
            store.act(day, grounds("c"), action, " ", "M. Whelan", AT);
            assertThat(store.actions(day)).hasSize(1);
        }
    }

    @Test
    void wantsAReasonInSqlToo() {
        takenDay();
        assertThatThrownBy(() -> OpenStore.run(
                        store,
                        "insert into causes.action (day, cause, action, reason, actor, at)"
                                + " select id, 'c', 'accept', ' ', 'x', now() from intake.day limit 1"))
                .hasMessageContaining("reason_given");
    }

    @Test
    void refusesADayItDoesNotKnow() {
        assertThatThrownBy(() -> store.act("no such day", grounds("c"), Action.OPEN_GATE, "", "M. Whelan", AT))
                .isInstanceOf(Refused.class);
        assertThat(store.actions("no such day")).isEmpty();
    }

    @Test
    void tellsEveryOtherDayOfAGateSinceItWasShutLast() {
        String first = takenDay();
        String second = "2026-11-26" + first.substring(10);
        OpenStore.take(store, InventedDay.onlyRuns(List.of()), second, OpenStore.freshDigest(), "M. Whelan");

        Acted shut = store.act(first, grounds("drift@P1#0123456789"), Action.SHUT_GATE, "torch", "M. Whelan", AT);
        assertThat(store.gatesElsewhere(second)).containsExactly(new GateAct("plasma-1", shut));
        assertThat(store.gatesElsewhere(first)).isEmpty();
        assertThat(store.gatesElsewhere(takenDay())).as("another register").isEmpty();

        Acted opened = store.act(
                second, Grounds.ofInstrument("plasma-1", ""), Action.OPEN_GATE, "", "T. Byrne", AT.plusSeconds(60));
        assertThat(store.gatesElsewhere(first)).containsExactly(new GateAct("plasma-1", opened));
        assertThat(store.gatesElsewhere(second)).containsExactly(new GateAct("plasma-1", shut));

        Acted again = store.act(
                second,
                Grounds.ofInstrument("plasma-1", ""),
                Action.SHUT_GATE,
                "torch",
                "T. Byrne",
                AT.plusSeconds(120));
        assertThat(store.gatesElsewhere(first)).containsExactly(new GateAct("plasma-1", again));
        assertThat(store.gatesElsewhere(second))
                .as("what was before no longer matters")
                .isEmpty();
    }

    private static Grounds grounds(String cause) {
        return new Grounds(cause, "ab".repeat(32), "P1", "K fell by 7.1 %, limit 5 %", 28);
    }

    private String takenDay() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        return day;
    }
}
