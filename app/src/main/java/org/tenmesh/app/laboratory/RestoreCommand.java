package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.store.Store;
import org.tenmesh.store.backup.Base;
import org.tenmesh.store.backup.Restore;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.StoreSettings;

/** {@code tenmesh restore}: a data folder from a folder of backups, to the newest state or to a moment. */
public final class RestoreCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "restore",
                "Make a data folder from a backup, as of the newest state or of a moment.",
                List.of(),
                List.of(
                        Shape.Option.required("--from", "DIR", "the folder of backups"),
                        Shape.Option.required("--data", "FOLDER", "a data folder without a database, where it is put"),
                        Shape.Option.of("--until", "TIME", "a moment, such as 2026-11-25T12:00:00+01:00")),
                List.of(
                        "Nothing is overwritten. The journal's chain is computed afterwards; run verify for the rest, with"
                                + " --anchor FILE if anchors are kept."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path from = Path.of(given.text("--from").orElseThrow());
        Path store = Path.of(given.text("--data").orElseThrow()).resolve("database");
        Optional<Instant> until = given.text("--until").map(RestoreCommand::moment);
        long start = System.nanoTime();
        try {
            Base base = Restore.into(store, from, until, console::progress);
            console.progress("Computing the journal's chain");
            try (Store opened = Databases.open(StoreSettings.embedded(store), Clock.systemUTC())) {
                JournalCheck journal = opened.verifyJournal();
                boolean holds = opened.journalHolds(base.head());
                console.progressDone();
                console.out()
                        .printf(
                                Locale.ROOT,
                                "Restored into %s from the copy of %s and what was kept after it, in %.1f s.%nJournal: %s%n",
                                store,
                                base.ended(),
                                (System.nanoTime() - start) / 1e9,
                                journal.finding());
                opened.journal(1)
                        .forEach(newest -> console.out()
                                .printf(
                                        "Its newest entry: %s, %s by %s%n",
                                        newest.at(), newest.what(), newest.actor()));
                if (!holds) {
                    console.tell("the journal does not hold entry " + base.entries()
                            + " as it was when the copy was made: this is not the laboratory that was copied");
                }
                return journal.whole() && holds ? Status.DONE : Status.HELD;
            }
        } catch (Refused refused) {
            throw new CannotUse(String.valueOf(refused.getMessage()));
        }
    }

    private static Instant moment(String typed) {
        try {
            return OffsetDateTime.parse(typed).toInstant();
        } catch (DateTimeException wrong) {
            throw new CannotUse(
                    "--until takes a time with its offset from UTC, such as 2026-11-25T12:00:00+01:00, found \"" + typed
                            + "\"");
        }
    }
}
