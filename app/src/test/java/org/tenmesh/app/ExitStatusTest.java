package org.tenmesh.app;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.app.laboratory.Databases;
import org.tenmesh.app.laboratory.EmptyStore;
import org.tenmesh.app.line.Console;

/** Whatever goes wrong in a command ends as one sentence with its own exit status, never as a trace. */
final class ExitStatusTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private record Ran(int status, String out, String err) {}

    private static Ran tenmesh(String... typed) {
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        int status = Main.run(new Console(new PrintWriter(out), new PrintWriter(err), false), typed);
        return new Ran(status, out.toString(), err.toString());
    }

    private static Ran failing(Throwable thrown) {
        StringWriter err = new StringWriter();
        Console console = new Console(new PrintWriter(new StringWriter()), new PrintWriter(err), false);
        int status = Main.ending(console, List.of("judge", "day"), () -> {
            if (thrown instanceof Error error) {
                throw error;
            }
            if (thrown instanceof IOException failed) {
                throw failed;
            }
            throw (RuntimeException) thrown;
        });
        console.err().flush();
        return new Ran(status, "", err.toString());
    }

    static Stream<Throwable> faults() {
        return Stream.of(
                new IllegalStateException("matrix must have at least one column"),
                new NullPointerException(),
                new StackOverflowError(),
                new OutOfMemoryError("Java heap space"),
                new IllegalStateException(new OutOfMemoryError("Java heap space")));
    }

    @ParameterizedTest
    @MethodSource("faults")
    void aFaultInsideIsOneSentenceWithStatus3AndItsDetailsInAFile(Throwable fault) throws IOException {
        Ran ran = failing(fault);
        assertThat(ran.status()).isEqualTo(3);
        assertThat(ran.err().strip().lines()).hasSize(1);
        assertThat(ran.err()).startsWith("tenmesh: ").doesNotContain("\tat ");
        String file = ran.err().replaceAll("(?s).* are in (\\S+\\.txt)\\..*", "$1");
        assertThat(Files.readString(Path.of(file), UTF_8)).contains("typed: judge day", "ExitStatusTest");
        Files.delete(Path.of(file));
    }

    @Test
    void anOverfullMemoryIsNamed() {
        assertThat(failing(new OutOfMemoryError()).err()).contains("MB of memory");
    }

    @Test
    void aFileThatCannotBeReadIsInputThatCannotBeUsed() {
        Ran ran = failing(new UncheckedIOException("the folder /x cannot be made", new NoSuchFileException("/x")));
        assertThat(ran.status()).isEqualTo(2);
        assertThat(ran.err()).contains("the folder /x cannot be made: there is no file or folder /x");
    }

    @Test
    void aDatabaseThatDoesNotAnswerIsOneSentence() throws IOException {
        int closed;
        try (ServerSocket socket = new ServerSocket(0)) {
            closed = socket.getLocalPort();
        }
        for (String command : List.of("serve", "verify")) {
            String url = "jdbc:postgresql://127.0.0.1:" + closed + "/none";
            Ran ran = tenmesh(command, "--data", temp.toString(), "--database", url, "--database-user", "nobody");
            assertThat(ran.status()).as(ran.err()).isEqualTo(2);
            assertThat(ran.err().strip().lines()).hasSize(1);
            assertThat(ran.err()).contains(url, "cannot be opened");
        }
    }

    @Test
    void passwordsThatAreGoneAndAUrlThatIsNoneAreOneSentenceEach() throws IOException {
        Path data = temp.resolve("laboratory");
        EmptyStore.at(data.resolve("database"));
        assertThat(tenmesh("serve", "--once", "--port", "0", "--data", data.toString())
                        .status())
                .isZero();
        Path secrets = data.resolve("database").resolve("secrets");
        try (Stream<Path> files = Files.list(secrets)) {
            for (Path file : files.toList()) {
                Files.delete(file);
            }
        }
        for (String command : List.of("serve", "verify")) {
            Ran gone = tenmesh(command, "--data", data.toString());
            assertThat(gone.status()).as(gone.err()).isEqualTo(2);
            assertThat(gone.err().strip().lines()).hasSize(1);
            assertThat(gone.err()).contains("put back the folder secrets");
        }
        Ran url = tenmesh("verify", "--data", data.toString(), "--database", "jdbc:postgresql://:x:/");
        assertThat(url.status()).as(url.err()).isEqualTo(2);
    }

    @Test
    void whyADayWasNotTakenIsSaidBeforeThePagesOpen() throws IOException {
        Path empty = Files.createDirectory(temp.resolve("no-day"));
        StringWriter seen = new StringWriter();
        StringBuilder atOpening = new StringBuilder();
        PrintWriter out = new PrintWriter(new StringWriter() {
            @Override
            public void write(String text, int from, int length) {
                if (text.contains("Tenmesh is at")) {
                    atOpening.append(seen);
                }
                super.write(text, from, length);
            }
        });
        Console console = new Console(out, new PrintWriter(new BufferedWriter(seen)), false);
        int status = Main.run(
                console,
                "serve",
                "--once",
                "--port",
                "0",
                "--data",
                temp.resolve("laboratory").toString(),
                "--take",
                empty.toString());
        assertThat(status).isEqualTo(2);
        assertThat(atOpening.toString()).contains(empty + " was not taken");
    }

    @Test
    void aFolderInUseAnUnusableHostAndATakenPortAreOneSentenceEach() throws Exception {
        Path data = temp.resolve("laboratory");
        EmptyStore.at(data.resolve("database"));
        assertThat(tenmesh("serve", "--once", "--port", "0", "--data", data.toString())
                        .status())
                .isZero();
        Ran host = tenmesh("serve", "--once", "--port", "0", "--host", "192.0.2.1", "--data", data.toString());
        assertThat(host.status()).isEqualTo(2);
        assertThat(host.err().strip().lines().toList())
                .hasSize(1)
                .allMatch(line -> line.contains("--host 192.0.2.1 is no address of this machine"));
        try (ServerSocket taken = new ServerSocket(0)) {
            String port = Integer.toString(taken.getLocalPort());
            Ran second = tenmesh("serve", "--once", "--port", port, "--data", data.toString());
            assertThat(second.status()).isEqualTo(2);
            assertThat(second.err().strip().lines().toList())
                    .hasSize(1)
                    .allMatch(line -> line.contains("port " + port + " on 127.0.0.1 is taken"));
        }
        try (var held = Databases.open(
                org.tenmesh.store.server.StoreSettings.embedded(data.resolve("database")),
                java.time.Clock.systemUTC())) {
            assertThat(held).isNotNull();
            Ran verify = tenmesh("verify", "--data", data.toString());
            assertThat(verify.status()).isEqualTo(2);
            assertThat(verify.err().strip().lines()).hasSize(1);
        }
    }
}
