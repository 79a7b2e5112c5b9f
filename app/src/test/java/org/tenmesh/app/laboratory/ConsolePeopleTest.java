package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Clock;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;

/** People added and passwords taken away at the console of the machine: named, journalled, and with a way back. */
final class ConsolePeopleTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path data;

    private final StringWriter said = new StringWriter();

    private int serve(String... more) {
        said.getBuffer().setLength(0);
        PrintWriter writer = new PrintWriter(said);
        String[] typed = {"serve", "--once", "--port", "0", "--data", data.toString()};
        String[] whole = java.util.Arrays.copyOf(typed, typed.length + more.length);
        System.arraycopy(more, 0, whole, typed.length, more.length);
        return Main.run(new Console(writer, writer, false), whole);
    }

    @Test
    void namesTheFirstPeopleAndGivesAWayBackForAForgottenPassword() {
        EmptyStore.at(data.resolve("database"));
        assertThat(serve()).as(said.toString()).isZero();
        assertThat(said.toString()).contains("--in-charge NAME").doesNotContain("/enter/");

        assertThat(serve("--in-charge", "M. Whelan", "--quality", "R. Sedge"))
                .as(said.toString())
                .isZero();
        assertThat(said.toString()).contains("For M. Whelan", "For R. Sedge", "/enter/");

        StoreSettings settings = StoreSettings.embedded(data.resolve("database"));
        try (Store store = Databases.open(settings, Clock.systemUTC())) {
            store.people().change(new Person("M. Whelan", PersonRole.IN_CHARGE, "a hash"), "M. Whelan");
            assertThat(store.journal(10))
                    .filteredOn(entry -> entry.what().equals("sign-in-link-issued"))
                    .extracting(JournalEntry::subject, JournalEntry::actor)
                    .containsExactlyInAnyOrder(
                            org.assertj.core.groups.Tuple.tuple("M. Whelan", "console of the machine"),
                            org.assertj.core.groups.Tuple.tuple("R. Sedge", "console of the machine"));
        }
        assertThat(serve("--in-charge", "M. Whelan")).isZero();
        assertThat(said.toString()).doesNotContain("/enter/");
        assertThat(serve("--reset-password", "M. Whelan")).isZero();
        assertThat(said.toString()).contains("For M. Whelan", "/enter/");
        try (Store store = Databases.open(settings, Clock.systemUTC())) {
            assertThat(store.people().find("M. Whelan").orElseThrow().passwordHash())
                    .isEmpty();
            store.people().rename("M. Whelan", "M. Sallow", "M. Whelan");
            assertThat(store.verifyJournal().whole()).isTrue();
        }
        // The options of a script still mean the person who has another name by now.
        assertThat(serve("--in-charge", "M. Whelan")).as(said.toString()).isZero();
        assertThat(said.toString()).contains("For M. Sallow");
        for (String[] wrong : new String[][] {
            {"--reset-password", "nobody"},
            {"--quality", "M. Whelan"},
            {"--quality", "M Whe1an"},
            {"--in-charge", "M.\u00a0Whelan"}
        }) {
            assertThat(serve(wrong)).as(said.toString()).isEqualTo(Status.UNUSABLE);
            assertThat(said.toString().strip().lines()).hasSize(1);
        }
    }
}
