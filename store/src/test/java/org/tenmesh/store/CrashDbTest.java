package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalCheck;

/** Whatever is killed in the middle of an import: nothing half taken, and the chain whole. */
final class CrashDbTest {
    private static final int SOILS = 10_000;
    private static final String COPIED =
            "select coalesce(sum(tuples_processed), 0) from pg_stat_progress_copy where relid = 'reading.reading'::regclass";

    @Test
    void postgresqlKilledInTheMiddleOfAnImport() throws Exception {
        Path folder = OpenStore.folder("crashed");
        try (Store store = OpenStore.open(folder)) {
            postgresqlKilledInTheMiddleOfAnImport(store);
        }
        OpenStore.delete(folder);
    }

    private static void postgresqlKilledInTheMiddleOfAnImport(Store store) throws Exception {
        String name = OpenStore.freshDay();
        String digest = OpenStore.freshDigest();
        Day day = InventedDay.of(SOILS);
        String readingsBefore = OpenStore.ask(store, "select count(*) from reading.reading");
        long entriesBefore = store.verifyJournal().entries();
        ProcessHandle server =
                store.connections().server().orElseThrow().process().orElseThrow();
        CompletableFuture<Receipt> taking =
                CompletableFuture.supplyAsync(() -> OpenStore.take(store, day, name, digest, "M. Whelan"));
        try (Connection watching = store.connections().owner()) {
            Eventually.within(Duration.ofMinutes(5), () -> copied(watching) > 20_000);
        }

        // All of it: the server alone would leave the connection at work, which then may finish.
        Stream.concat(Stream.of(server), server.descendants().toList().stream())
                .toList()
                .forEach(ProcessHandle::destroyForcibly);

        assertThatThrownBy(taking::get).hasCauseInstanceOf(RuntimeException.class);
        Eventually.within(Duration.ofMinutes(5), () -> store.dayEntry(name).isEmpty());
        assertThat(store.day(name)).isEmpty();
        assertThat(store.receipt(digest)).isEmpty();
        assertThat(OpenStore.ask(store, "select count(*) from reading.reading")).isEqualTo(readingsBefore);
        JournalCheck check = store.verifyJournal();
        assertThat(check.whole()).as(check.finding()).isTrue();
        assertThat(check.entries()).isEqualTo(entriesBefore);

        // The same source is taken now, since nothing of it was stored.
        assertThat(OpenStore.take(store, day, name, digest, "M. Whelan").soils())
                .isEqualTo(SOILS);
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void theProgramItselfKilledInTheMiddleOfAnImport() throws Exception {
        Path folder = OpenStore.folder("killed");
        OpenStore.empty(folder);
        Process child = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                        "-Xmx1g",
                        ImportInAChild.class.getName(),
                        folder.toString(),
                        Integer.toString(SOILS))
                .redirectErrorStream(true)
                .redirectOutput(new File(folder + ".txt"))
                .start();
        try {
            Eventually.within(Duration.ofMinutes(5), () -> isTaken(folder, child));
            try (Connection watching = owner(folder)) {
                Eventually.within(Duration.ofMinutes(5), () -> copied(watching) > 20_000);
            }
            long orphan = Long.parseLong(pidFile(folder).get(0).strip());

            child.destroyForcibly().waitFor();

            assertThat(ProcessHandle.of(orphan))
                    .as("PostgreSQL outlives the program")
                    .isPresent();
            try (Store store = OpenStore.open(folder)) {
                assertThat(store.connections()
                                .server()
                                .orElseThrow()
                                .process()
                                .orElseThrow()
                                .pid())
                        .isEqualTo(orphan);
                assertThat(store.days()).extracting(DayEntry::name).containsExactly("2026-11-25 small");
                assertThat(store.receipt(Journal.sha256("big"))).isEmpty();
                assertThat(OpenStore.ask(store, "select count(distinct run) from reading.reading"))
                        .isEqualTo("1");
                JournalCheck check = store.verifyJournal();
                assertThat(check.whole()).as(check.finding()).isTrue();
                assertThat(check.entries()).isEqualTo(1);
            }
            Eventually.within(
                    Duration.ofMinutes(1),
                    () -> ProcessHandle.of(orphan)
                            .filter(ProcessHandle::isAlive)
                            .isEmpty());
            leftByAMachineThatLostPower(folder);
        } finally {
            child.destroyForcibly().waitFor();
        }
        Files.delete(Path.of(folder + ".txt"));
        OpenStore.delete(folder);
    }

    // A number in postmaster.pid that meanwhile belongs to another program: this very test.
    private static void leftByAMachineThatLostPower(Path folder) throws Exception {
        Files.writeString(
                folder.resolve("database").resolve("postmaster.pid"),
                ProcessHandle.current().pid() + "\n" + folder.resolve("database")
                        + "\n1764061200\n54321\n\n127.0.0.1\n");
        try (Store store = OpenStore.open(folder)) {
            assertThat(store.days()).hasSize(1);
        }
    }

    private static boolean isTaken(Path folder, Process child) throws Exception {
        if (!child.isAlive()) {
            throw new AssertionError("the child ended: " + Files.readString(Path.of(folder + ".txt")));
        }
        if (pidFile(folder).size() < 4) {
            return false;
        }
        try (Connection connection = owner(folder);
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery("select count(*) from intake.source")) {
            rows.next();
            return rows.getInt(1) == 1;
        }
    }

    private static Connection owner(Path folder) throws Exception {
        return DriverManager.getConnection(
                "jdbc:postgresql://127.0.0.1:" + pidFile(folder).get(3).strip() + "/postgres",
                "tenmesh_owner",
                Files.readString(folder.resolve("secrets").resolve("tenmesh_owner")));
    }

    private static long copied(Connection connection) throws SQLException {
        try (Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(COPIED)) {
            rows.next();
            return rows.getLong(1);
        }
    }

    private static List<String> pidFile(Path folder) throws Exception {
        Path file = folder.resolve("database").resolve("postmaster.pid");
        return Files.exists(file) ? Files.readAllLines(file) : List.of();
    }
}
