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
import org.tenmesh.app.line.NewFolder;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.app.line.UsualFolder;
import org.tenmesh.store.Store;
import org.tenmesh.store.openfiles.OpenFiles;

/** {@code tenmesh record}: everything that is stored, as files that need no program. */
public final class RecordCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "record",
                "Write everything that is stored as open files, to be read without the program.",
                List.of(),
                List.of(
                        Shape.Option.of("--data", "FOLDER", "the data folder of a server that is stopped"),
                        Shape.Option.required("--out", "DIR", "a new or empty folder"),
                        Shape.Option.flag(
                                "--sealed", "with the key of the hidden controls; such a folder is for quality alone"),
                        Shape.Option.of("--by", "NAME", "who asks for it, for the journal; usually the machine's user"),
                        Shape.Option.of("--database", "URL", "a PostgreSQL of your own instead of the built-in one"),
                        Shape.Option.of("--database-user", "NAME", "its user")),
                List.of(
                        "README.md in the folder explains every file and column, and how the journal is checked with a dozen lines"
                                + " of any language.",
                        "Of a server that runs, restore a backup into another folder and write the record of that."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        Path out = Path.of(given.text("--out").orElseThrow());
        NewFolder.expected(out);
        if (given.text("--database").isEmpty() && !Files.isDirectory(data.resolve("database"))) {
            throw new CannotUse("there is no database in " + data + "; name the data folder with --data");
        }
        String actor = given.text("--by").orElse(System.getProperty("user.name") + " at the console");
        try (Store store = console.during(
                "Starting the database in " + data, () -> Databases.open(given, data, Clock.systemUTC()))) {
            OpenFiles.Written written = store.writeOpenFiles(out, given.has("--sealed"), actor, console::progress);
            console.progressDone();
            console.out()
                    .printf(
                            Locale.ROOT,
                            "%s: %,d rows of %,d tables, %,d files of what came and left, %,d entries of the journal; its head is %s%n",
                            out,
                            written.rows().values().stream()
                                    .mapToLong(Long::longValue)
                                    .sum(),
                            written.rows().size(),
                            written.files(),
                            written.entries(),
                            written.head());
            return Status.DONE;
        }
    }
}
