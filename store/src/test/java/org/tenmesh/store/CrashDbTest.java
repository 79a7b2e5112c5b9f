package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Day;

/** Whatever is killed in the middle of an import: nothing half taken, and the chain whole. */
final class CrashDbTest {
    private static final int SOILS = 20_000;
    private static final String COPIED =
            "select coalesce(sum(tuples_processed), 0) from pg_stat_progress_copy where relid = 'reading.reading'::regclass";

    @Test
    void postgresqlKilledInTheMiddleOfAnImport() throws Exception {
        Store store = OpenStore.get();
        String name = OpenStore.freshDay();
        String digest = OpenStore.freshDigest();
        Day day = InventedDay.of(SOILS);
        String readingsBefore = OpenStore.ask(store, "select count(*) from reading.reading");
        long entriesBefore = store.verifyJournal().entries();
        ProcessHandle server =
                store.connections().server().orElseThrow().process().orElseThrow();
        CompletableFuture<Receipt> taking =
                CompletableFuture.supplyAsync(() -> store.take(day, name, digest, "M. Whelan"));
        Eventually.within(Duration.ofSeconds(60), () -> Long.parseLong(OpenStore.ask(store, COPIED)) > 20_000);

        server.destroyForcibly();

        assertThatThrownBy(taking::get).hasCauseInstanceOf(RuntimeException.class);
        Eventually.within(Duration.ofSeconds(60), () -> store.dayEntry(name).isEmpty());
        assertThat(store.day(name)).isEmpty();
        assertThat(store.receipt(digest)).isEmpty();
        assertThat(OpenStore.ask(store, "select count(*) from reading.reading")).isEqualTo(readingsBefore);
        JournalCheck check = store.verifyJournal();
        assertThat(check.whole()).as(check.finding()).isTrue();
        assertThat(check.entries()).isEqualTo(entriesBefore);

        // The same source is taken now, since nothing of it was stored.
        assertThat(store.take(day, name, digest, "M. Whelan").soils()).isEqualTo(SOILS);
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void theProgramItselfKilledInTheMiddleOfAnImport() throws Exception {
        Path folder = OpenStore.folder("killed");
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
            Eventually.within(Duration.ofSeconds(90), () -> {
                if (!child.isAlive()) {
                    throw new AssertionError("the child ended: " + Files.readString(Path.of(folder + ".txt")));
                }
                return copiedIn(folder) > 20_000;
            });
            long orphan = Long.parseLong(pidFile(folder).get(0).strip());

            child.destroyForcibly().waitFor();

            assertThat(ProcessHandle.of(orphan))
                    .as("PostgreSQL outlives the program")
                    .isPresent();
            try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
                assertThat(store.connections()
                                .server()
                                .orElseThrow()
                                .process()
                                .orElseThrow()
                                .pid())
                        .isEqualTo(orphan);
                assertThat(store.days()).extracting(DayEntry::name).containsExactly("small");
                assertThat(store.receipt(Journal.sha256("big"))).isEmpty();
                assertThat(OpenStore.ask(store, "select count(distinct run) from reading.reading"))
                        .isEqualTo("1");
                JournalCheck check = store.verifyJournal();
                assertThat(check.whole()).as(check.finding()).isTrue();
                assertThat(check.entries()).isEqualTo(1);
            }
            Eventually.within(
                    Duration.ofSeconds(10),
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
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            assertThat(store.days()).hasSize(1);
        }
    }

    private static long copiedIn(Path folder) throws Exception {
        List<String> pidFile = pidFile(folder);
        if (pidFile.size() < 4) {
            return 0;
        }
        String password = Files.readString(folder.resolve("secrets").resolve("tenmesh_owner"));
        try (Connection connection = DriverManager.getConnection(
                        "jdbc:postgresql://127.0.0.1:" + pidFile.get(3).strip() + "/postgres",
                        "tenmesh_owner",
                        password);
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(COPIED)) {
            rows.next();
            return rows.getLong(1);
        } catch (SQLException e) {
            return 0;
        }
    }

    private static List<String> pidFile(Path folder) throws Exception {
        Path file = folder.resolve("database").resolve("postmaster.pid");
        return Files.exists(file) ? Files.readAllLines(file) : List.of();
    }
}
