package org.tenmesh.app;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;

/** {@code tenmesh verify}: is the journal whole, and do released values come out the same again. */
final class VerifyCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "verify",
                "Compute the journal's chain and every released value again.",
                List.of(),
                List.of(
                        Shape.Option.of("--data", "FOLDER", "the data folder of a server that is stopped"),
                        Shape.Option.of("--database", "URL", "a PostgreSQL of your own instead of the built-in one"),
                        Shape.Option.of("--database-user", "NAME", "its user"),
                        MethodChoice.OPTION,
                        Shape.Option.flag("--json", "print what was found as JSON")),
                List.of(
                        "Keep the head it prints apart from the data: whoever can write the whole database can write a"
                                + " whole new chain.",
                        "Exit status: 0 all fits; 1 something does not."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        return new Verifying(console).verify(given, data);
    }
}
