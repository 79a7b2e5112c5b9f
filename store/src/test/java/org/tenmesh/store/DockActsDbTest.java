package org.tenmesh.store;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

@Execution(ExecutionMode.SAME_THREAD)
final class DockActsDbTest {
    private static final Store STORE = OpenStore.get();
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00.123Z");

    private static String submission() {
        return STORE.sheets()
                .keep(
                        "sheet.csv",
                        ("Sample\n" + UUID.randomUUID() + "\n").getBytes(StandardCharsets.UTF_8),
                        new KeptSheet.Said("Tern Bay (invented)", Optional.empty(), Optional.empty(), Optional.empty()),
                        "M. Whelan",
                        AT,
                        LocalDate.of(2026, 11, 24));
    }

    private static DockAct act(String submission, DockAct.What what, String about) {
        return new DockAct(
                UUID.randomUUID().toString(),
                submission,
                what,
                1,
                about,
                "sound",
                "a \"quoted\" word",
                "M. Whelan",
                AT);
    }

    private static Optional<String> fine(List<DockAct> before) {
        return Optional.empty();
    }

    @Test
    void keepsActsInTheirOrderOnceEachAndTellsTheJournal() {
        String submission = submission();
        DockAct box = act(submission, DockAct.What.BOX, "BX-1");
        DockAct counted = act(submission, DockAct.What.COUNTED, "");
        STORE.dockActs().keep(box, DockActsDbTest::fine);
        STORE.dockActs().keep(counted, before -> {
            assertThat(before).containsExactly(box);
            return Optional.empty();
        });
        long entries = STORE.journal(1).get(0).seq();
        STORE.dockActs().keep(box, DockActsDbTest::fine);
        assertThat(STORE.journal(1).get(0).seq()).as("sent twice, kept once").isEqualTo(entries);
        assertThat(STORE.dockActs().of(submission)).containsExactly(box, counted);
        assertThat(STORE.dockActs().waiting()).containsEntry(submission, List.of(box, counted));
        assertThat(STORE.journal(1).get(0).what()).isEqualTo("dock-act");
        assertThatThrownBy(() -> STORE.dockActs()
                        .keep(act(submission, DockAct.What.BOX, "BX-2"), before -> Optional.of("No room.")))
                .isInstanceOf(Refused.class)
                .hasMessage("No room. Nothing was done.");
        assertThat(STORE.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(submission))
                .isEmpty();
        STORE.sheets().laidOut(List.of(submission), "Q. Ahern", AT);
        assertThatThrownBy(() -> STORE.dockActs().keep(act(submission, DockAct.What.BOX, "BX-3"), DockActsDbTest::fine))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("does not wait");
        assertThat(STORE.dockActs().waiting()).doesNotContainKey(submission);
        assertThat(STORE.dockActs().of(submission)).hasSize(2);
    }

    /** What was done at the dock is asked in the transaction that keeps the layout; where it does not fit, nothing of it is kept. */
    @Test
    void aLayoutThatNoLongerFitsWhatWasDoneAtTheDockIsNotKeptAtAll() {
        String submission = submission();
        DockAct box = act(submission, DockAct.What.BOX, "BX-1");
        STORE.dockActs().keep(box, DockActsDbTest::fine);
        DockAct made = act(submission, DockAct.What.MADE_REGULATED, "P-1");
        STORE.dockActs().keep(made, DockActsDbTest::fine);
        Day day = OpenStore.in(OpenStore.freshDay(), InventedDay.of(3));
        LocalDate date = LocalDate.of(2026, 11, 25);
        String sha256 = OpenStore.freshDigest();
        assertThatThrownBy(() -> STORE.dockActs()
                        .layOut(
                                day,
                                date,
                                sha256,
                                List.of(submission),
                                acts -> requireNonNull(acts.get(submission)).contains(made)
                                        ? Optional.of("It is regulated.")
                                        : Optional.empty(),
                                "Q. Ahern",
                                AT))
                .isInstanceOf(Refused.class)
                .hasMessage("It is regulated. Nothing was laid out.");
        assertThat(STORE.receipt(sha256)).isEmpty();
        assertThat(STORE.dockActs().waiting()).containsKey(submission);
        STORE.dockActs().layOut(day, date, sha256, List.of(submission), acts -> Optional.empty(), "Q. Ahern", AT);
        assertThat(STORE.receipt(sha256)).isPresent();
        assertThat(STORE.dockActs().waiting()).doesNotContainKey(submission);
    }

    /** What stops between booking and account leaves nothing of either; the same again without it leaves all. */
    @Test
    void aBookingAndItsParcelAreKeptAndTakenBackTogetherOrNotAtAll() throws SQLException {
        String submission = submission();
        LedgerBook.Received received = LedgerBookDbTest.received(STORE, submission);
        DockAct booked = act(submission, DockAct.What.BOOKED, received.permit().name());
        LocalDate today = LocalDate.of(2026, 11, 25);
        stoppedAtTheAccount(
                submission, () -> STORE.dockActs().book(booked, DockActsDbTest::fine, received, today), List.of());
        STORE.dockActs().book(booked, DockActsDbTest::fine, received, today);
        STORE.dockActs().book(booked, DockActsDbTest::fine, received, today);
        assertThat(STORE.dockActs().of(submission)).as("sent twice, kept once").containsExactly(booked);
        assertThat(states(submission)).containsExactly(Held.State.HELD);

        DockAct back = act(submission, DockAct.What.TAKEN_BACK, booked.id());
        stoppedAtTheAccount(
                submission,
                () -> STORE.dockActs().takeBack(back, DockActsDbTest::fine, moves -> mistaken(moves, submission)),
                List.of(Held.State.HELD));
        assertThatThrownBy(() -> STORE.dockActs().takeBack(back, DockActsDbTest::fine, moves -> {
                    throw new Refused("Portions were taken of it.");
                }))
                .isInstanceOf(Refused.class);
        assertThat(STORE.dockActs().of(submission)).as("refused by the account").containsExactly(booked);
        STORE.dockActs().takeBack(back, DockActsDbTest::fine, moves -> mistaken(moves, submission));
        assertThat(STORE.dockActs().of(submission)).containsExactly(booked, back);
        assertThat(states(submission)).containsExactly(Held.State.MISTAKEN);
        assertThat(STORE.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(submission))
                .isEmpty();
    }

    /** As if the program stopped after the act at the dock and before the line of the account: the database takes no line. */
    private static void stoppedAtTheAccount(String submission, Runnable acts, List<Held.State> stay)
            throws SQLException {
        List<DockAct> before = STORE.dockActs().of(submission);
        long entries = STORE.journal(1).get(0).seq();
        try (Connection owner = STORE.connections().owner();
                Statement statement = owner.createStatement()) {
            statement.execute("create function custody.stop() returns trigger language plpgsql as"
                    + " $$ begin raise exception 'stopped between'; end $$");
            statement.execute("create trigger stop before insert on custody.move for each statement"
                    + " execute function custody.stop()");
            try {
                assertThatThrownBy(acts::run).hasMessageContaining("stopped between");
            } finally {
                statement.execute("drop trigger stop on custody.move");
                statement.execute("drop function custody.stop()");
            }
        }
        assertThat(STORE.dockActs().of(submission)).isEqualTo(before);
        assertThat(states(submission)).isEqualTo(stay);
        assertThat(STORE.journal(1).get(0).seq())
                .as("nothing of it in the journal")
                .isEqualTo(entries);
    }

    private static String parcel(String submission) {
        return STORE.ledger().parcels().stream()
                .filter(parcel -> parcel.submission().equals(submission))
                .map(Parcel::code)
                .findFirst()
                .orElse("");
    }

    private static List<Held.State> states(String submission) {
        return Ledger.of(STORE.ledger().moves()).portion(parcel(submission)).stream()
                .map(Held::state)
                .toList();
    }

    private static List<Move> mistaken(List<Move> moves, String submission) {
        Held held = Ledger.of(moves).portion(parcel(submission)).orElseThrow();
        return List.of(new Move(
                UUID.randomUUID().toString(),
                Move.What.MISTAKEN,
                held.code(),
                held.code(),
                PortionKind.PARCEL,
                "",
                "",
                held.massMg(),
                held.pieces(),
                "",
                "booking taken back",
                "M. Whelan",
                AT));
    }

    @Test
    void verifyFindsWhatWasPutInChangedOrTakenOutOutsideTheProgram() throws SQLException {
        String submission = submission();
        STORE.dockActs().keep(act(submission, DockAct.What.BOX, "BX-4"), DockActsDbTest::fine);
        try (Connection owner = STORE.connections().owner();
                Statement statement = owner.createStatement()) {
            for (String change : List.of(
                    "update intake.dock_act set says = 'broken'",
                    "delete from intake.dock_act",
                    "truncate intake.dock_act")) {
                assertThatThrownBy(() -> statement.execute(change))
                        .isInstanceOf(SQLException.class)
                        .hasMessageContaining("are never changed or deleted");
            }
            statement.execute("""
                    insert into intake.dock_act (id, worksheet, what, number, about, says, reason, actor, at)
                    select 'smuggled-in-2', id, 'booked', 1, '', 'ordinary', '', 'X', now() from intake.worksheet where submission = '%s'
                    """.formatted(submission));
            try {
                assertThat(STORE.compareWithJournal(says -> {}).differences())
                        .anyMatch(one -> one.contains("smuggled-in-2") && one.contains("outside the program"));
            } finally {
                statement.execute("alter table intake.dock_act disable trigger dock_act_stays");
                statement.execute("delete from intake.dock_act where id = 'smuggled-in-2'");
                statement.execute("update intake.dock_act set says = 'wet' where about = 'BX-4'");
            }
            try {
                assertThat(STORE.compareWithJournal(says -> {}).differences())
                        .anyMatch(one -> one.contains("BX-4") && one.contains("not stored so"));
            } finally {
                statement.execute("update intake.dock_act set says = 'sound' where about = 'BX-4'");
                statement.execute("alter table intake.dock_act enable trigger dock_act_stays");
            }
        }
    }
}
