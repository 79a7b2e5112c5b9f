package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.server.StoreSettings;

final class TokenCommandTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path data;

    private final StringWriter said = new StringWriter();

    private int token(String... typed) {
        said.getBuffer().setLength(0);
        PrintWriter writer = new PrintWriter(said);
        String[] whole = Stream.concat(
                        Stream.of("token"), Stream.concat(Stream.of(typed), Stream.of("--data", data.toString())))
                .toArray(String[]::new);
        return Main.run(new Console(writer, writer, false), whole);
    }

    private Store store() {
        return Store.open(StoreSettings.embedded(data.resolve("database")), Clock.systemUTC(), new SecureRandom());
    }

    @Test
    void makesListsAndWithdrawsATokenOfAStoppedServer() {
        assertThat(token("list")).isEqualTo(Status.UNUSABLE);
        assertThat(said.toString()).contains("there is no database");
        try (Store store = EmptyStore.open(data.resolve("database"))) {
            store.take(
                    Simulator.simulate(Scenario.of(3, 12, LocalDate.of(2026, 11, 25)))
                            .day(),
                    "0".repeat(64),
                    "test");
        }
        for (List<String> wrong : List.of(
                List.of("renew"),
                List.of("make", "--program", "office", "--may", "feed", "--sees", "own"),
                List.of("make", "--program", "office", "--may", "feed", "--sees", "all", "--days", "30"),
                List.of("make", "--program", "office", "--may", "everything", "--sees", "own", "--days", "30"),
                List.of("make", "--program", "office", "--may", "feed", "--sees", "own", "--days", "401"),
                List.of("withdraw", "--token", "1"))) {
            assertThat(token(wrong.toArray(String[]::new))).as(wrong.toString()).isEqualTo(Status.UNUSABLE);
        }
        assertThat(token("make", "--program", "office", "--may", "feed, results", "--sees", "own", "--days", "30"))
                .as(said.toString())
                .isZero();
        String secret = said.toString().strip();
        assertThat(secret).startsWith("tmt-").doesNotContain(" ");
        try (Store store = store()) {
            ProgramToken made = store.tokens().find(secret).orElseThrow();
            assertThat(made.scopeWords()).isEqualTo("feed results");
            assertThat(made.ownOnly()).isTrue();
        }
        assertThat(token("list")).isZero();
        assertThat(said.toString()).contains("1  office: feed results; sees what it registered; opens until");
        assertThat(said.toString()).doesNotContain(secret);
        assertThat(token("withdraw", "--token", "1", "--reason", "no longer needed"))
                .isZero();
        assertThat(token("withdraw", "--token", "1", "--reason", "again")).isEqualTo(Status.UNUSABLE);
        assertThat(token("list")).isZero();
        assertThat(said.toString()).contains("withdrawn", "by command line: no longer needed");
        try (Store store = store()) {
            assertThat(store.tokens().find(secret)).isEmpty();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
    }
}
