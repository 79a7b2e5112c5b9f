package org.tenmesh.app.laboratory;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.store.backup.WalArchive;
import org.tenmesh.store.rows.Refused;

/** Whether a server keeps what its database writes in a folder of backups. */
final class BackupChoice {
    static final Shape.Option FOLDER =
            Shape.Option.of("--backup", "DIR", "keeps what is written in this folder of backups too");
    static final Shape.Option SECONDS = Shape.Option.of(
            "--backup-seconds", "N", "how often, usually every " + WalArchive.USUAL.toSeconds() + " seconds");

    private BackupChoice() {}

    /** Something that ends with the server. */
    interface Kept extends AutoCloseable {
        @Override
        void close();
    }

    /**
     * Begins to keep it, where that is asked for.
     *
     * @throws CannotUse when the folder cannot be written, or the database is not the program's own
     */
    static Kept start(Shape.Given given, Path data, Clock clock, Console console) {
        Path store = data.resolve("database");
        if (given.text("--backup").isEmpty()) {
            if (given.text("--database").isEmpty()) {
                WalArchive.end(store);
            }
            return () -> {};
        }
        if (given.has("--database")) {
            throw new CannotUse("--backup keeps the built-in database; a PostgreSQL of your own is backed up by its own"
                    + " means: docs/operate/database.md");
        }
        Duration interval =
                Duration.ofSeconds(given.number("--backup-seconds", WalArchive.USUAL.toSeconds(), 1, 86_400));
        try {
            return WalArchive.start(store, Path.of(given.text("--backup").get()), interval, clock, console::tell)
                    ::close;
        } catch (Refused refused) {
            throw new CannotUse(String.valueOf(refused.getMessage()));
        }
    }
}
