package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.store.backup.Backups;
import org.tenmesh.store.backup.Base;
import org.tenmesh.store.backup.Restore;
import org.tenmesh.store.backup.WalArchive;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.verified.RecordCheck;

/** A laboratory that is written to all the time is copied, loses its machine, and is restored: every row of every table is the same. */
final class BackupDbTest {
    private static final Duration INTERVAL = Duration.ofSeconds(1);

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    private static Path backups = Path.of("");
    private static Map<String, String> before = Map.of();
    private static Instant moment = Instant.EPOCH;
    private static long entriesAtMoment;
    private static Base base = new Base(Path.of(""), Instant.EPOCH, Instant.EPOCH, "", 1, "", "", 0, "", 0, "");

    @BeforeAll
    static void aLaboratoryThatLosesItsMachine() throws Exception {
        Path folder = temp.resolve("laboratory");
        backups = temp.resolve("backups");
        List<String> told = new CopyOnWriteArrayList<>();
        Store store = open(folder);
        FullStore.fill(store);
        Writing first = new Writing(store);
        WalArchive archive = WalArchive.start(folder, backups, INTERVAL, Clock.systemUTC(), told::add);
        Eventually.within(Duration.ofMinutes(2), () -> archive.keptUntil().isPresent());
        base = Backups.take(folder, backups, Clock.systemUTC(), says -> {});
        OpenStore.take(store, InventedDay.of(12), OpenStore.freshDay(), OpenStore.freshDigest(), "L. Late");
        Thread.sleep(50);
        first.end();
        // Nothing is written around the moment: the clocks of two processes may differ by more than the time between
        // two entries.
        entriesAtMoment = Long.parseLong(OpenStore.ask(store, "select max(seq) from journal.entry"));
        Thread.sleep(200);
        moment = Instant.now();
        Thread.sleep(200);
        Writing second = new Writing(store);
        Thread.sleep(50);
        second.end();
        assertThat(OpenStore.ask(store, "select max(seq) from journal.entry"))
                .as("more is written after the moment")
                .isNotEqualTo(String.valueOf(entriesAtMoment));
        before = digests(store);
        Instant acknowledged = Instant.now();
        Eventually.within(Duration.ofMinutes(1), () -> {
            assertThat(told).isEmpty();
            return archive.keptUntil().orElseThrow().isAfter(acknowledged);
        });
        // From here on nothing is kept: the machine is lost.
        assertThat(told).isEmpty();
        Files.move(backups, temp.resolve("elsewhere"));
        Files.writeString(backups, "the disk of backups is gone");
        Eventually.within(Duration.ofMinutes(2), () -> !archive.trouble().isEmpty());
        assertThat(told).singleElement().asString().contains("stands still, and is tried again");
        archive.close();
        store.close();
        backups = temp.resolve("elsewhere");
        OpenStore.delete(folder);
    }

    /** Writes one entry after another until it is ended. */
    private static final class Writing {
        private final AtomicBoolean on = new AtomicBoolean(true);
        private final Thread work;

        Writing(Store store) {
            work = new Thread(() -> {
                while (on.get()) {
                    store.note("M. Whelan", "report-printed", "S1", Map.of("pages", "3"));
                }
            });
            work.start();
        }

        void end() throws InterruptedException {
            on.set(false);
            work.join();
        }
    }

    @AfterAll
    static void nothingIsLeftHalf() throws IOException {
        try (Stream<Path> all = Files.list(temp)) {
            assertThat(all.map(path -> path.getFileName().toString())).noneMatch(name -> name.endsWith(".partial"));
        }
    }

    private static Store open(Path folder) {
        return OpenStore.open(folder);
    }

    /** Of two copies the later is the one that was made later, whatever the clock said then. */
    @Test
    void aCopyMadeAfterTheClockWasSetBackIsTheNewest() {
        Path folder = temp.resolve("set-back");
        Path into = temp.resolve("set-back-backups");
        try (Store store = open(folder)) {
            Clock ahead = Clock.offset(Clock.systemUTC(), Duration.ofHours(1));
            Base first = Backups.take(folder, into, ahead, says -> {});
            store.note("M. Whelan", "report-printed", "between", Map.of());
            Base second = Backups.take(folder, into, Clock.systemUTC(), says -> {});
            assertThat(first.began()).isAfter(second.began());
            assertThat(Backups.in(into)).extracting(Base::folder).containsExactly(first.folder(), second.folder());
        }
        Path restored = temp.resolve("set-back-restored");
        Restore.into(restored, into, Optional.empty(), says -> {});
        try (Store back = open(restored)) {
            assertThat(back.journal(1))
                    .singleElement()
                    .satisfies(entry -> assertThat(entry.subject()).isEqualTo("between"));
        }
        OpenStore.delete(folder);
    }

    /** A digest of all rows of each table but the caches. */
    private static Map<String, String> digests(Store store) throws SQLException {
        Map<String, String> digests = new TreeMap<>();
        List<String> tables = new ArrayList<>();
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement()) {
            try (ResultSet rows = statement.executeQuery(
                    "select schemaname || '.' || tablename from pg_tables where schemaname not like"
                            + " 'pg\\_%' and schemaname <> 'information_schema'")) {
                while (rows.next()) {
                    tables.add(rows.getString(1));
                }
            }
            for (String table : tables) {
                digests.put(
                        table,
                        OpenStore.ask(
                                store,
                                "select count(*) || ' ' || coalesce(encode(sha256(convert_to(string_agg(t::text, e'\\n' order by"
                                        + " t::text), 'UTF8')), 'hex'), '') from " + table + " t"));
            }
        }
        return digests;
    }

    @Test
    void everyRowOfEveryTableIsBack() throws Exception {
        Path restored = temp.resolve("restored");
        Base from = Restore.into(restored, backups, Optional.empty(), says -> {});
        assertThat(from.sha256()).isEqualTo(base.sha256());
        try (Store store = open(restored)) {
            assertThat(before).hasSizeGreaterThan(40);
            assertThat(digests(store)).isEqualTo(before);
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.journalHolds(base.head())).isTrue();
            RecordCheck check = store.compareWithJournal(says -> {});
            assertThat(check.differences()).isEmpty();
            assertThat(check.unreadable()).isEmpty();
            assertThat(OpenStore.ask(store, "select count(*) from pg_replication_slots"))
                    .isEqualTo("0");
            assertThat(OpenStore.ask(store, "show restore_command")).isEmpty();
            // It goes on, and its own backups go on beside the old ones.
            store.note("M. Whelan", "report-printed", "S1", Map.of("pages", "3"));
            List<String> told = new CopyOnWriteArrayList<>();
            try (WalArchive archive = WalArchive.start(restored, backups, INTERVAL, Clock.systemUTC(), told::add)) {
                Eventually.within(
                        Duration.ofMinutes(2), () -> archive.keptUntil().isPresent());
            }
            assertThat(told).isEmpty();
            assertThat(Backups.in(backups)).anyMatch(one -> one.timeline() == 2);
            WalArchive.end(restored);
            assertThat(OpenStore.ask(store, "select count(*) from pg_replication_slots"))
                    .isEqualTo("0");
        }
    }

    @Test
    void theStateOfAMomentIsBack() throws Exception {
        Path restored = temp.resolve("then");
        Path copy = withoutLaterCopies("copies-then");
        Restore.into(restored, copy, Optional.of(moment), says -> {});
        try (Store store = open(restored)) {
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.verifyJournal().entries()).isEqualTo(entriesAtMoment);
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
        assertThatThrownBy(() -> Restore.into(
                        temp.resolve("early"), copy, Optional.of(Instant.parse("2020-01-01T00:00:00Z")), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("nothing earlier can be restored");
        assertThatThrownBy(() -> Restore.into(
                        temp.resolve("late"), copy, Optional.of(Instant.now().plusSeconds(9999)), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("ends before that moment");
    }

    @Test
    void whatCannotBeUsedIsSaidBeforeAnythingIsDone() throws Exception {
        assertThatThrownBy(() -> Restore.into(temp, backups, Optional.empty(), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("overwrites nothing");
        assertThatThrownBy(() -> Restore.into(temp.resolve("x"), temp.resolve("none"), Optional.empty(), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("there is no folder");

        Path changed = withoutLaterCopies("changed");
        Path file = changed.resolve(base.folder().getFileName()).resolve("base.tar.gz");
        byte[] bytes = Files.readAllBytes(file);
        bytes[bytes.length / 2] ^= 1;
        Files.write(file, bytes, StandardOpenOption.TRUNCATE_EXISTING);
        assertThatThrownBy(() -> Restore.into(temp.resolve("x"), changed, Optional.empty(), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("could not be restored");

        Path gap = withoutLaterCopies("gap");
        Files.delete(gap.resolve("wal").resolve(base.last() + ".gz"));
        assertThatThrownBy(() -> Restore.into(temp.resolve("x"), gap, Optional.empty(), says -> {}))
                .isInstanceOf(Refused.class)
                .hasMessageContaining(base.last() + " is missing");

        Path full = temp.resolve("full");
        Path small = Files.writeString(temp.resolve("a-file"), "");
        try (Store store = open(full)) {
            assertThatThrownBy(() -> Backups.take(full, small, Clock.systemUTC(), says -> {}))
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("cannot be written");
            assertThatThrownBy(() -> Backups.take(full, full.resolve("inside"), Clock.systemUTC(), says -> {}))
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("on another disk");
            assertThat(store.verifyJournal().whole()).isTrue();
        }
    }

    /** The folder of backups as it was when the machine was lost. */
    private static Path withoutLaterCopies(String name) throws IOException {
        Path copy = temp.resolve(name);
        try (Stream<Path> all = Files.walk(backups)) {
            for (Path path : all.toList()) {
                String inside = backups.relativize(path).toString();
                boolean later = inside.startsWith("base-")
                        && !inside.startsWith(base.folder().getFileName().toString());
                if (!later && !inside.startsWith("wal/00000002")) {
                    Files.copy(path, copy.resolve(inside));
                }
            }
        }
        return copy;
    }
}
