package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Parcel;

/** The account of regulated soil has a line of what was noted of a rack, in the transaction of the note. */
@Execution(ExecutionMode.SAME_THREAD)
final class PreparedDbTest {
    private static int racks = 700;

    private final Store store = OpenStore.get();
    private final Subject rack = Subject.rack("R" + ++racks);
    private final String submission = "SUB-" + UUID.randomUUID();

    private BenchAct note(String step, BenchAct.What what, String about, Map<Measure, Double> measured) {
        Instant now = Instant.now();
        return store.benchActs()
                .keep(
                        new BenchAct(
                                UUID.randomUUID().toString(),
                                rack,
                                step,
                                what,
                                about,
                                "",
                                "A. Bench",
                                "tablet",
                                now,
                                now,
                                measured),
                        "A. Bench");
    }

    private void load() {
        note(
                "",
                BenchAct.What.LOADED,
                submission,
                Map.of(Measure.FIRST_BAG, 1.0, Measure.LAST_BAG, 2.0, Measure.PLACE, 1.0, Measure.REGULATED, 1.0));
    }

    private BenchAct weigh(double massG) {
        return note("", BenchAct.What.WEIGHED, "", Map.of(Measure.PLACE, 1.0, Measure.MASS_G, massG));
    }

    private BenchAct sieve(double coarseG) {
        return note(
                "",
                BenchAct.What.COARSE,
                "",
                Map.of(Measure.PLACE, 1.0, Measure.MASS_G, 500.0, Measure.COARSE_G, coarseG));
    }

    private Ledger account() {
        return Ledger.of(store.ledger().moves());
    }

    private List<String> differences() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains(submission))
                .toList();
    }

    @Test
    void rejectsDustAndLossesArePostedWithTheirNotesAndTakenBackWithThem() {
        Parcel parcel = LedgerBookDbTest.receive(store, submission);
        load();
        weigh(500);
        BenchAct wrong = sieve(25);
        note(Rack.GRIND, BenchAct.What.DONE, "M1", Map.of(Measure.REGULATED, 1.0));
        weigh(470);
        Ledger ledger = account();
        assertThat(ledger.portion(parcel.code() + ".rejects").orElseThrow().massMg())
                .isEqualTo(25_000);
        assertThat(ledger.portion(parcel.code() + ".dust").orElseThrow().place())
                .isEqualTo("mill M1");
        assertThat(ledger.balance(parcel.code()).groundAwayMg()).isEqualTo(5_000);
        assertThat(ledger.portion(parcel.code()).orElseThrow().massMg()).isEqualTo(1_170_000);
        note("", BenchAct.What.TAKEN_BACK, wrong.id(), Map.of());
        ledger = account();
        assertThat(ledger.portion(parcel.code() + ".rejects").orElseThrow().state())
                .isEqualTo(Held.State.MISTAKEN);
        assertThat(ledger.balance(parcel.code()).exact()).isTrue();
        assertThat(differences()).isEmpty();
    }

    @Test
    void whatWasNotedBeforeTheParcelWasReceivedIsPostedWithIt() {
        load();
        sieve(25);
        Parcel parcel = LedgerBookDbTest.receive(store, submission);
        assertThat(account().portion(parcel.code() + ".rejects").orElseThrow().massMg())
                .isEqualTo(25_000);
        assertThat(differences()).isEmpty();
    }

    @Test
    void verifyNamesANoteThatHasNoLine() throws SQLException {
        LedgerBookDbTest.receive(store, submission);
        load();
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            statement.execute("""
                    insert into bench.act (id, kind, code, step, what, about, told, person, sent_by, device, device_at, stored_at, measured)
                    values ('%s', 'rack', '%s', '', 'coarse', '', '', 'X', 'X', 'x', now(), now(), 'place 1.0, mass-g 500.0, coarse-g 25.0')
                    """.formatted(UUID.randomUUID(), rack.code()));
        }
        assertThat(differences())
                .singleElement()
                .asString()
                .contains("has no line of rejects of the sieve of submission " + submission, "noted by X");
        // The next note about the rack puts it right.
        weigh(400);
        assertThat(differences()).isEmpty();
    }
}
