package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Locale;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.app.line.UsualFolder;
import org.tenmesh.store.backup.Backups;
import org.tenmesh.store.backup.Base;
import org.tenmesh.store.rows.Refused;

/** {@code tenmesh backup}: a whole copy of the built-in database, while the server runs or while it is stopped. */
public final class BackupCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "backup",
                "Copy the built-in database, while it is in use or stopped.",
                List.of(),
                List.of(
                        Shape.Option.of("--data", "FOLDER", "the data folder of a server"),
                        Shape.Option.required("--to", "DIR", "the folder of backups, on another disk or machine")),
                List.of(
                        "A copy holds the passwords of the database and the key of the hidden controls: keep it from others.",
                        "Between copies, serve --backup DIR keeps what is written, every minute.",
                        "A PostgreSQL of your own (--database) is backed up by its own means: docs/operate/database.md."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        Path store = data.resolve("database");
        if (!Files.isDirectory(store)) {
            throw new CannotUse("there is no database in " + data + "; name the data folder with --data");
        }
        Path to = Path.of(given.text("--to").orElseThrow());
        long start = System.nanoTime();
        try {
            Base base = Backups.take(store, to, Clock.systemUTC(), console::progress);
            console.progressDone();
            console.out()
                    .printf(
                            Locale.ROOT,
                            "%s: %,d MB of database in %,d MB, in %.1f s. It holds the journal up to entry %,d at least.%n",
                            base.folder(),
                            base.bytes() >> 20,
                            size(base.folder()) >> 20,
                            (System.nanoTime() - start) / 1e9,
                            base.entries());
            return Status.DONE;
        } catch (Refused refused) {
            throw new CannotUse(String.valueOf(refused.getMessage()));
        } catch (IllegalStateException notNow) {
            throw new CannotUse(
                    String.valueOf(notNow.getMessage()).lines().findFirst().orElse(""));
        }
    }

    private static long size(Path folder) throws IOException {
        try (var all = Files.list(folder)) {
            return all.mapToLong(path -> path.toFile().length()).sum();
        }
    }
}
