package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.UsualFolder;
import org.tenmesh.web.ServerSettings;

/** {@code tenmesh serve}: the pages, for a laboratory. */
public final class ServeCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "serve",
                "Serve the pages to a laboratory.",
                List.of(),
                Stream.of(
                                List.of(
                                        Shape.Option.of("--data", "FOLDER", "where everything is kept"),
                                        Shape.Option.of("--host", "ADDRESS", "address to listen on, usually 127.0.0.1"),
                                        Shape.Option.of("--port", "N", "TCP port, usually " + Serving.USUAL_PORT),
                                        Shape.Option.of(
                                                "--take",
                                                "DAY",
                                                "a day folder to take in first; may be given several times"),
                                        CaptureChoice.OPTION,
                                        AnchorFile.OPTION,
                                        BackupChoice.FOLDER,
                                        BackupChoice.SECONDS,
                                        Shape.Option.flag(
                                                "--behind-tls",
                                                "people reach the pages by https through a proxy that sets X-Forwarded-For"),
                                        Shape.Option.of(
                                                "--idle-minutes",
                                                "N",
                                                "minutes until an unused sign-in ends, usually "
                                                        + ServerSettings.USUAL_IDLE_MINUTES)),
                                ConsolePeople.OPTIONS,
                                List.of(
                                        Shape.Option.of(
                                                "--database",
                                                "URL",
                                                "a PostgreSQL of your own instead of the built-in one"),
                                        Shape.Option.of(
                                                "--database-user", "NAME", "its user; may create schemas and roles"),
                                        MethodChoice.OPTION,
                                        Shape.Option.flag(
                                                "--once", "stop as soon as the pages answer; used to try a start")))
                        .flatMap(List::stream)
                        .toList(),
                List.of(
                        "The first start needs --in-charge NAME: the name stands on reports. The link it prints works once.",
                        "Only quality gives the roles that see the key of the hidden controls; --quality NAME adds the first.",
                        "The password of --database-user is read from TENMESH_DATABASE_PASSWORD.",
                        "A day folder is taken whole or not at all; one that was taken before is passed over."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        return new Serving(console, given.has("--once")).serve(given, data);
    }
}
