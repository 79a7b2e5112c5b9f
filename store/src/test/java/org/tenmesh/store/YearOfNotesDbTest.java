package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.release.WorkBehind;

/**
 * Who worked on a submission, asked of a store with a year of notes at the bench: 200,000 rows. Measured so on two cores at a load of 7.5, seven times
 * each: 1,013 to 1,498 ms while all notes were read for each question, 15 to 35 ms since indexes answer it.
 */
final class YearOfNotesDbTest {
    private static final String DAY = "2026-11-25";

    private final Path folder = OpenStore.folder("notes");
    private final Day day = InventedDay.of(20);

    @SuppressWarnings("NullAway.Init")
    private Store store;

    @BeforeEach
    void aYear() throws SQLException {
        store = OpenStore.open(folder);
        store.take(day, OpenStore.freshDigest(), "M. Whelan");
        execute("""
                insert into bench.act (id, day, kind, code, step, what, about, told, person, sent_by, device, device_at, stored_at, measured)
                select 'year-note-' || n, case when n % 2 = 0 then (select id from intake.day where name = '2026-11-25') end,
                       case n % 4 when 0 then 'tray' when 2 then 'soil' else 'rack' end,
                       case n % 4 when 0 then 'X' || n % 20000 when 2 then 'Y-' || n % 90000 else 'R-' || lpad((n % 199)::text, 3, '0') end,
                       '', case when n % 50 = 3 then 'loaded' when n % 50 = 7 then 'taken-back' else 'done' end,
                       case when n % 50 = 3 then 'SUB-' || n when n % 50 = 7 then 'year-note-' || n - 4 else '' end,
                       '', 'N. Other', 'N. Other', 'tablet', now(), now(), ''
                from generate_series(1, 200000) n
                """);
        execute("analyze bench.act");
    }

    @AfterEach
    void closeIt() {
        store.close();
        OpenStore.delete(folder);
    }

    private void execute(String sql) throws SQLException {
        try (Connection owner = store.connections().owner();
                Statement statement = owner.createStatement()) {
            statement.execute(sql);
        }
    }

    private long counted(String column) throws SQLException {
        try (Connection owner = store.connections().owner();
                Statement statement = owner.createStatement();
                ResultSet rows = statement.executeQuery("select " + column
                        + " from pg_stat_user_tables where schemaname = 'bench' and relname = 'act'")) {
            assertThat(rows.next()).isTrue();
            return rows.getLong(1);
        }
    }

    private void noted(String id, Subject subject, BenchAct.What what, String about, String person) {
        Instant now = Instant.now();
        store.benchActs()
                .keep(new BenchAct(id, subject, "", what, about, "", person, "tablet", now, now, Map.of()), person);
    }

    @Test
    void whoWorkedOnASubmissionIsFoundByAnIndexAndNotByReadingTheYear() throws Exception {
        Tray tray = day.trays().stream()
                .filter(one -> one.wells().stream()
                        .flatMap(place -> place.labNumber().stream())
                        .anyMatch(number -> day.soils().stream()
                                .anyMatch(soil -> soil.labNumber().equals(number)
                                        && soil.submission().equals(Optional.of("S1")))))
                .findFirst()
                .orElseThrow();
        noted("own-note-1", Subject.tray(DAY, tray.tray()), BenchAct.What.DONE, "", "B. Bench");
        noted("own-note-2", Subject.rack("R-198"), BenchAct.What.LOADED, "S1", "C. Dock");
        noted("own-note-3", Subject.rack("R-198"), BenchAct.What.DONE, "MILL-1", "D. Mill");
        noted("own-note-4", Subject.tray(DAY, tray.tray()), BenchAct.What.DONE, "", "E. Mistaken");
        noted("own-note-5", Subject.tray(DAY, tray.tray()), BenchAct.What.TAKEN_BACK, "own-note-4", "E. Mistaken");
        long read = counted("seq_scan");
        long found = counted("idx_scan");
        for (int i = 0; i < 20; i++) {
            assertThat(store.approvals().workBehind(DAY, "S1").stream()
                            .filter(one -> one.kind() == WorkBehind.Kind.NOTED)
                            .map(WorkBehind::person))
                    .containsExactly("B. Bench", "C. Dock", "D. Mill");
        }
        // What a connection counted is told by the server within some seconds, all of it at once.
        long end = System.nanoTime() + 30_000_000_000L;
        while (counted("idx_scan") == found && System.nanoTime() < end) {
            Thread.sleep(200);
        }
        assertThat(counted("idx_scan")).as("asked by an index").isGreaterThan(found);
        assertThat(counted("seq_scan")).as("all notes were read").isEqualTo(read);
    }
}
