package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalEntry;

/** What only something outside the database can show: a tail that was cut off, a journal that was written anew, a clock that was set back. */
final class AnchorDbTest {
    private static final Path FOLDER = OpenStore.folder("anchored");

    private static Store open() {
        return OpenStore.open(FOLDER);
    }

    private static void note(Store store, String subject) {
        store.note("M. Whelan", "report-printed", subject, Map.of("pages", "3"));
    }

    @Test
    void anAnchorFindsWhatTheDatabaseCannotAndAClockSetBackIsWrittenDown() throws Exception {
        try (Store store = open()) {
            assertThat(store.against(List.of(store.anchor()))).isEmpty();
            note(store, "one");
            note(store, "two");
            Anchor kept = store.anchor();
            Anchor typed = Anchor.in("as printed: " + kept.shortForm().toUpperCase(Locale.ROOT) + ".")
                    .get(0);
            assertThat(Anchor.in("x\n" + kept.line() + "\ny")).containsExactly(kept);
            assertThat(typed.seq()).isEqualTo(2);
            note(store, "three");
            assertThat(store.against(List.of(kept, typed))).isEmpty();

            // The tail is cut off, and others are written in its place.
            OpenStore.run(
                    store,
                    "set session_replication_role = replica",
                    "delete from journal.entry where seq > 1",
                    "update journal.head set (seq, sha256) = (select seq, sha256 from journal.entry where seq = 1)");
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.against(List.of(kept))).singleElement().asString().contains("entry 2, which is gone");
            note(store, "another");
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.against(List.of(kept, typed)))
                    .hasSize(2)
                    .allMatch(said -> said.contains("entry 2 is not the one that the anchor 2-"));

            // Set back while it runs: the next entry says so first.
            assertThat(store.journal(1).get(0).what()).isEqualTo("report-printed");
            OpenStore.run(store, "update journal.head set written_at = now() + interval '3 days'");
            note(store, "after");
            JournalEntry told = store.journal(2).get(1);
            assertThat(told.what()).isEqualTo(Journal.CLOCK_SET_BACK);
            assertThat(told.detail()).containsPattern("\"seconds\":259[12]\\d\\d");
            assertThat(told.at()).isBefore(Instant.now().plusSeconds(1));
            note(store, "again");
            assertThat(store.journal(1).get(0).seq()).isEqualTo(told.seq() + 2);
            OpenStore.run(store, "update journal.head set written_at = now() + interval '3 days'");
        }
        // Set back while it was stopped: told when it is opened.
        try (Store store = open()) {
            assertThat(store.journal(1).get(0).what()).isEqualTo(Journal.CLOCK_SET_BACK);
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
        OpenStore.delete(FOLDER);
    }
}
