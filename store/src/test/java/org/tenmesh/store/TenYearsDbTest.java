package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Function;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Handles;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.release.Releases;

/**
 * A record of ten years, put in by statements: 2,500 days with four submissions each, all released but one on every 500th day. What pages
 * ask all the time must read what is new and what is open, not the ten years: counted in the rows that the database read.
 */
final class TenYearsDbTest {
    private static final int DAYS = 2500;
    private static final int SUBMISSIONS = 4;
    private static final Path FOLDER = OpenStore.folder("ten-years");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @BeforeAll
    static void tenYears() throws Exception {
        store = OpenStore.open(FOLDER);
        String days = " generate_series(1, " + DAYS + ") as n ";
        OpenStore.run(
                store,
                "insert into intake.day (name, register, on_date) select (date '2016-01-01' + n)::text, 'own',"
                        + " date '2016-01-01' + n from" + days,
                "insert into intake.source (day, sha256, actor, taken_at, soils, readings, laboratory, zone, address, invented,"
                        + " policy) select d.id, encode(sha256(d.name::bytea), 'hex'), 'invented', d.on_date, 0, 0, 'Invented',"
                        + " 'UTC', '', true, '{}' from intake.day d",
                "insert into intake.submission (id, register, submission, client, received_at, received_offset, received_on, day)"
                        + " select d.id * " + SUBMISSIONS
                        + " + i, 'own', 'S' || i, 'invented', d.on_date, 0, d.on_date, d.id"
                        + " from intake.day d, generate_series(0, " + (SUBMISSIONS - 1) + ") as i",
                "insert into intake.day_submission select s.day, s.id % " + SUBMISSIONS
                        + ", s.id from intake.submission s",
                "insert into release.release (day, submission, submission_id, revision, signed_by, signed_at, signed_offset,"
                        + " reason, held) select s.day, s.submission, s.id, 1, 'invented', s.received_at, 0, '', 0"
                        + " from intake.submission s where s.day % 500 <> 0 or s.submission <> 'S1'",
                "insert into journal.entry select d.id, d.on_date, 'invented', 'day-taken', d.name, '{}', '', ''"
                        + " from intake.day d",
                "analyze");
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    /** Rows that the database read to answer, in tables and in nothing else. */
    private static <T> long rowsRead(Function<Handle, T> question, AtomicReference<T> answer) {
        return store.connections().app().inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
            // What this connection read before may not have been handed over yet.
            long before = rowsRead(handle);
            answer.set(question.apply(handle));
            return rowsRead(handle) - before;
        });
    }

    private static long rowsRead(Handle handle) {
        return handle.createQuery("select coalesce(sum(coalesce(seq_tup_read, 0) + coalesce(idx_tup_fetch, 0)), 0)"
                        + " from pg_stat_xact_user_tables")
                .mapTo(Long.class)
                .one();
    }

    private static LaboratoryRecord record(Handle handle) {
        Jdbi same = Jdbi.create(handle.getConnection());
        same.getConfig(Handles.class).setForceEndTransactions(false);
        return new LaboratoryRecord(same, new Releases(same, new Journal(same)));
    }

    @Test
    void whetherAnythingWasImportedReadsOneRow() {
        AtomicReference<Long> newest = new AtomicReference<>();
        assertThat(rowsRead(Days::newestImport, newest)).isLessThanOrEqualTo(1);
        assertThat(newest.get()).isEqualTo(DAYS);
    }

    @Test
    void aPageOfTheListReadsThatPage() {
        AtomicReference<List<DayEntry>> page = new AtomicReference<>();
        // The day, and its import twice: by the day, and for the digest.
        assertThat(rowsRead(handle -> Days.newest(handle, 10), page)).isLessThanOrEqualTo(10 * 4);
        List<DayEntry> newest = Objects.requireNonNull(page.get());
        assertThat(newest).hasSize(10);
        assertThat(newest.get(0).name()).isEqualTo("2022-11-05");

        String last = newest.get(9).name();
        assertThat(rowsRead(handle -> Days.before(handle, last, 10), page)).isLessThanOrEqualTo(10 * 4 + 4);
        assertThat(page.get())
                .extracting(DayEntry::name)
                .startsWith("2022-10-26")
                .hasSize(10);

        // One day, its imports and what of it is under way: as few rows however many days there are.
        assertThat(rowsRead(handle -> List.of(Days.entry(handle, "2016-01-02").orElseThrow()), page))
                .isLessThanOrEqualTo(12);
        assertThat(store.daysBefore("2016-01-02", 10)).isEmpty();
        assertThat(store.daysBefore("2015-01-02", 10)).isEmpty();
    }

    @Test
    void pagesOneAfterTheOtherAreTheWholeList() {
        List<DayEntry> whole = store.days();
        List<DayEntry> paged = new ArrayList<>(store.days(700));
        for (List<DayEntry> more = paged; !more.isEmpty(); ) {
            more = store.daysBefore(paged.get(paged.size() - 1).name(), 700);
            paged.addAll(more);
        }
        assertThat(whole).hasSize(DAYS);
        assertThat(paged).isEqualTo(whole);
    }

    @Test
    void openWorkReadsWhatIsOpen() {
        AtomicReference<List<String>> days = new AtomicReference<>();
        assertThat(rowsRead(handle -> record(handle).openDays(31), days)).isLessThanOrEqualTo(5 * 8);
        assertThat(days.get()).hasSize(5).startsWith("2022-11-05");

        AtomicReference<List<LaboratoryRecord.KnownSubmission>> open = new AtomicReference<>();
        assertThat(rowsRead(handle -> record(handle).openWork(), open)).isLessThanOrEqualTo(5 * 8);
        assertThat(open.get()).hasSize(5).allMatch(one -> !one.released());
    }

    @Test
    void theListOfOpenWorkIsWhatTheReleasesLeave() throws Exception {
        assertThat(listed()).isEmpty();
        try {
            OpenStore.run(
                    store,
                    "delete from release.unreleased where submission = 2001",
                    "insert into release.unreleased values (6)");
            assertThat(listed())
                    .containsExactlyInAnyOrder(
                            "submission S1 received on 2017-05-15 is missing on the list of open work, with something left to"
                                    + " release",
                            "submission S2 received on 2016-01-02 is on the list of open work, with nothing left to release");
        } finally {
            OpenStore.run(
                    store,
                    "delete from release.unreleased where submission = 6",
                    "insert into release.unreleased values (2001)");
        }
    }

    private static List<String> listed() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(difference -> difference.contains("open work"))
                .toList();
    }
}
