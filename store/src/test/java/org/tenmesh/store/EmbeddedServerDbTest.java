package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.server.StoreSettings;

/** A store of its own, made as everybody's is, because other tests share one that is quicker to make and that nobody may kill. */
final class EmbeddedServerDbTest {
    private static final Path FOLDER = OpenStore.folder("server");
    private static final Store STORE =
            Store.open(StoreSettings.embedded(FOLDER), Clock.systemUTC(), new SecureRandom());

    @AfterAll
    static void closeIt() {
        STORE.close();
        OpenStore.delete(FOLDER);
    }

    @Test
    void keepsItsSecretsToItself() throws Exception {
        Path secrets = FOLDER.resolve("secrets");
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(secrets)))
                .isEqualTo("rwx------");
        for (String user : List.of("tenmesh_owner", "tenmesh_app", "tenmesh_quality", "tenmesh_bench")) {
            Path file = secrets.resolve(user);
            assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(file)))
                    .isEqualTo("rw-------");
            assertThat(Files.readString(file)).hasSize(43);
        }
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(FOLDER)))
                .isEqualTo("rwx------");
    }

    @ParameterizedTest
    @ValueSource(strings = {"tenmesh_owner", "tenmesh_app", "tenmesh_quality", "tenmesh_bench"})
    void letsNobodyInWithoutTheRightPassword(String user) {
        String url = STORE.connections().server().orElseThrow().url();
        for (String password : List.of("", "tenmesh", user)) {
            assertThatThrownBy(() -> {
                        try (Connection open = DriverManager.getConnection(url, user, password)) {
                            open.isValid(1);
                        }
                    })
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("password");
        }
    }

    @Test
    void listensOnThisMachineOnlyAndSyncsWhatItCommits() throws Exception {
        assertThat(OpenStore.ask(STORE, "show listen_addresses")).isEqualTo("127.0.0.1");
        assertThat(OpenStore.ask(STORE, "show unix_socket_directories")).isEmpty();
        assertThat(OpenStore.ask(STORE, "show password_encryption")).isEqualTo("scram-sha-256");
        assertThat(OpenStore.ask(STORE, "show fsync")).isEqualTo("on");
        assertThat(OpenStore.ask(STORE, "show synchronous_commit")).isEqualTo("on");
        assertThat(OpenStore.ask(STORE, "show data_checksums")).isEqualTo("on");
        assertThat(OpenStore.ask(STORE, "show server_version")).startsWith("17.");
    }

    @Test
    void refusesAFolderThatIsOpen() {
        assertThatThrownBy(() -> Store.open(StoreSettings.embedded(FOLDER), Clock.systemUTC(), new SecureRandom())
                        .close())
                .isInstanceOf(IllegalStateException.class)
                .hasMessageContaining("in use by another Tenmesh");
    }

    @Test
    void startsTheServerAgainWhenItWasKilled() throws Exception {
        JournalEntry before = STORE.note("M. Whelan", "noted", "before the kill", Map.of());
        ProcessHandle server =
                STORE.connections().server().orElseThrow().process().orElseThrow();

        server.destroyForcibly();
        server.onExit().get();

        isThereAgain(server, before);
        assertThat(STORE.verifyJournal().whole()).isTrue();
    }

    /** Its programs are out of reach for longer than one start is tried for, as on a disk that is full or not mounted. */
    @Test
    void goesOnTryingToStartAServerThatCouldNotBeStarted() throws Exception {
        JournalEntry before = STORE.note("M. Whelan", "noted", "before the programs were gone", Map.of());
        ProcessHandle server =
                STORE.connections().server().orElseThrow().process().orElseThrow();
        Path programs;
        try (Stream<Path> all = Files.walk(FOLDER.resolve("program"), 3)) {
            programs = all.filter(path -> path.endsWith("bin")).findFirst().orElseThrow();
        }
        Path away = programs.resolveSibling("away");
        Files.move(programs, away);
        try {
            server.destroyForcibly();
            server.onExit().get();
            Thread.sleep(6_000);
            assertThat(STORE.connections().server().orElseThrow().process()).isEmpty();
        } finally {
            Files.move(away, programs);
        }
        isThereAgain(server, before);
    }

    /** Another server answers: a connection that outlives the killed one for a moment would answer as well, and then fail the next test. */
    private static void isThereAgain(ProcessHandle killed, JournalEntry before) throws Exception {
        Eventually.within(
                Duration.ofSeconds(60),
                () -> STORE.connections()
                                .server()
                                .orElseThrow()
                                .process()
                                .filter(running -> running.pid() != killed.pid())
                                .isPresent()
                        && OpenStore.ask(STORE, "select 1").equals("1"));
        Eventually.within(Duration.ofSeconds(60), () -> STORE.journal(1).contains(before));
    }

    @Test
    void opensAnyPostgresqlByUrlAsAnOwnerWhoIsNoSuperuser() throws Exception {
        OpenStore.run(
                STORE,
                "create role laboratory login password 'as-the-administrator-says'",
                "create database elsewhere owner laboratory");
        String url = STORE.connections().server().orElseThrow().url().replace("/postgres", "/elsewhere");
        Path secrets = FOLDER.resolve("secrets");
        StoreSettings settings = StoreSettings.byUrl(url, "laboratory", "as-the-administrator-says", secrets);
        for (int expected = 0; expected < 2; expected++) {
            try (Store elsewhere = Store.open(settings, Clock.systemUTC(), new SecureRandom())) {
                assertThat(elsewhere.days()).hasSize(expected);
                if (expected == 0) {
                    OpenStore.take(
                            elsewhere, InventedDay.of(60), "2026-11-25 one", OpenStore.freshDigest(), "M. Whelan");
                }
                assertThat(elsewhere.quality().controls("2026-11-25 one")).hasSize(1);
                assertThat(elsewhere.bench().trays("2026-11-25 one")).hasSize(6);
                assertThat(elsewhere.verifyJournal().entries()).isEqualTo(1);
                assertThat(elsewhere.connections().server()).isEqualTo(Optional.empty());
            }
        }
        assertThat(settings.toString()).doesNotContain("as-the-administrator-says");
        OpenStore.run(STORE, "drop database elsewhere", "drop role laboratory");
    }
}
