package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.UsualFolder;

/** {@code tenmesh verify}: is the journal whole, is everything stored as it says, and do released results come out the same. */
public final class VerifyCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "verify",
                "Compare everything stored with the journal; compute what was released again.",
                List.of(),
                List.of(
                        Shape.Option.of("--data", "FOLDER", "the data folder of a server that is stopped"),
                        Shape.Option.of(
                                "--anchor",
                                "FILE",
                                "anchors that were kept elsewhere: a file, or one in its short form; may be given several times"),
                        Shape.Option.of("--head", "HEXDIGEST", "the journal's head that an earlier verify printed"),
                        Shape.Option.of("--database", "URL", "a PostgreSQL of your own instead of the built-in one"),
                        Shape.Option.of("--database-user", "NAME", "its user"),
                        MethodChoice.OPTION,
                        Shape.Option.flag("--json", "print what was found as JSON")),
                List.of(
                        "Whoever can write the whole database can delete the last entries or write a new chain. Only what was"
                                + " kept apart from the data shows that: the anchors that serve --anchors FILE writes, or the"
                                + " head that an earlier verify printed.",
                        "Exit status: 0 nothing differs; 1 something differs; 2 the database or a day in it cannot be"
                                + " read, or a version of a method is not there."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        return new Verifying(console).verify(given, data);
    }
}
