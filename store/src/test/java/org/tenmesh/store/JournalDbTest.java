package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.journal.JournalLine;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;

@Execution(ExecutionMode.SAME_THREAD)
final class JournalDbTest {
    private final Store store = OpenStore.get();

    @Test
    void chainsEveryEntryToTheOneBefore() {
        JournalEntry first = store.note("M. Whelan", "report-printed", "S1", Map.of("pages", "3"));
        JournalEntry second = store.note("T. Byrne", "report-printed", "S2", Map.of("why", "a \"second\" copy\n"));

        assertThat(second.seq()).isEqualTo(first.seq() + 1);
        assertThat(second.previousSha256()).isEqualTo(first.sha256());
        assertThat(store.journal(2)).containsExactly(second, first);
        JournalCheck check = store.verifyJournal();
        assertThat(check.whole()).as(check.finding()).isTrue();
        assertThat(check.head()).isEqualTo(second.sha256());
        assertThat(check.entries()).isEqualTo(second.seq());
    }

    @Test
    void readsWhatIsAskedForInPartsThatFollowOnEachOther() {
        for (int i = 0; i < 5; i++) {
            store.note("T. Sedgewick", "sample-moved", "shelf " + i, Map.of("reason", "wet", "a", "first"));
            store.note("T. Sedgewick", "noted", "shelf", Map.of());
        }
        JournalQuestion asked = new JournalQuestion(
                Optional.of("T. Sedgewick"),
                Optional.of("sample-moved"),
                "SHELF",
                Optional.empty(),
                Optional.empty(),
                Optional.empty());
        JournalReading first = store.readJournal(asked, 3);
        assertThat(first.count()).isEqualTo(5);
        assertThat(first.lines()).extracting(l -> l.entry().subject()).containsExactly("shelf 4", "shelf 3", "shelf 2");
        assertThat(first.lines().get(0).detail()).containsExactly(Map.entry("a", "first"), Map.entry("reason", "wet"));
        long last = first.lines().get(2).entry().seq();
        JournalReading second = store.readJournal(asked.before(Optional.of(last)), 3);
        assertThat(second.lines()).extracting(l -> l.entry().subject()).containsExactly("shelf 1", "shelf 0");
        assertThat(second.count()).isEqualTo(5);
        assertThat(second.actors()).contains("T. Sedgewick").isSorted();
        assertThat(second.kinds()).contains("sample-moved", "noted");

        Instant at = second.lines().get(0).entry().at();
        JournalQuestion later = new JournalQuestion(
                asked.actor(), asked.what(), "", Optional.of(at.plusSeconds(60)), Optional.empty(), Optional.empty());
        JournalQuestion earlier = new JournalQuestion(
                asked.actor(), asked.what(), "", Optional.empty(), Optional.of(at.minusSeconds(60)), Optional.empty());
        assertThat(store.readJournal(later, 9).count()).isZero();
        assertThat(store.readJournal(earlier, 9).count()).isZero();
        assertThat(store.readJournal(JournalQuestion.ALL, 10_000).lines())
                .extracting(JournalLine::entry)
                .containsExactlyElementsOf(store.journal(10_000));
    }

    @Test
    void doesNotForkWhenManyWriteAtOnce() throws Exception {
        long before = store.verifyJournal().entries();
        ExecutorService eight = Executors.newFixedThreadPool(8);
        try {
            List<Callable<JournalEntry>> notes = new ArrayList<>();
            for (int i = 0; i < 100; i++) {
                String subject = "subject " + i;
                notes.add(() -> store.note("M. Whelan", "noted", subject, Map.of()));
            }
            for (Future<JournalEntry> note : eight.invokeAll(notes)) {
                assertThat(note.get().seq()).isGreaterThan(before);
            }
        } finally {
            eight.shutdown();
        }
        JournalCheck check = store.verifyJournal();
        assertThat(check.whole()).as(check.finding()).isTrue();
        assertThat(check.entries()).isEqualTo(before + 100);
    }

    @Test
    void findsWhatASuperuserChanged() throws Exception {
        long seq = store.note("M. Whelan", "noted", "original", Map.of("value", "41.7"))
                .seq();
        store.note("M. Whelan", "noted", "after it", Map.of());

        for (String change : List.of(
                "actor = 'somebody else'",
                "at = at + interval '1 second'",
                "subject = 'another'",
                "what = 'nothing'",
                "detail = '{\"value\":\"47.1\"}'",
                "sha256 = repeat('a', 64)",
                "previous_sha256 = repeat('b', 64)")) {
            JournalCheck check = whileTampered("update journal.entry set " + change + " where seq = " + seq);
            assertThat(check.firstBroken()).as(change).hasValue(seq);
        }
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void findsAnEntryTakenOutOfTheMiddleOrCutOffAtTheEnd() throws Exception {
        long seq = store.note("M. Whelan", "noted", "one", Map.of()).seq();
        store.note("M. Whelan", "noted", "two", Map.of());

        JournalCheck middle = whileTampered("delete from journal.entry where seq = " + seq);
        assertThat(middle.firstBroken()).hasValue(seq);
        assertThat(middle.finding()).isEqualTo("entry " + seq + " is gone, entry " + (seq + 1) + " follows");

        JournalCheck end = whileTampered("delete from journal.entry where seq > " + seq);
        assertThat(end.firstBroken()).hasValue(seq + 1);
        assertThat(end.finding())
                .isEqualTo("the journal ends with entry " + seq + ", entry " + (seq + 1) + " had been written");
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    // As a superuser who switched the guards off; everything is put back afterwards.
    private JournalCheck whileTampered(String change) throws Exception {
        OpenStore.run(
                store,
                "set session_replication_role = replica",
                "create table public.journal_before as table journal.entry",
                change);
        try {
            return store.verifyJournal();
        } finally {
            OpenStore.run(
                    store,
                    "set session_replication_role = replica",
                    "delete from journal.entry",
                    "insert into journal.entry table public.journal_before",
                    "drop table public.journal_before");
        }
    }
}
