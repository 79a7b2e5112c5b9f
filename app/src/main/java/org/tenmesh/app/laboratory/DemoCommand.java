package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.UsualFolder;

/** {@code tenmesh demo}: an invented laboratory, nothing to set up. */
public final class DemoCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "demo",
                "Open an invented laboratory and its day in the browser; nothing to set up.",
                List.of(),
                List.of(
                        Shape.Option.of(
                                "--port", "N", "TCP port, usually " + Serving.USUAL_PORT + "; 0 = any free one"),
                        Shape.Option.of("--data", "FOLDER", "where the invented data are kept"),
                        Shape.Option.flag(
                                "--still", "a day of every method that stands still, instead of one that is played"),
                        Shape.Option.of(
                                "--speed", "N", "how many times faster than usual the day is played, usually 1"),
                        Shape.Option.flag("--once", "stop as soon as the pages answer; used to try a start")),
                List.of(
                        "Listens on this machine only. The day is played in about ten minutes: instruments send, people act; what you do they leave to you. Ctrl-C stops."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        int port = (int) given.number("--port", Serving.USUAL_PORT, 0, 65_535);
        Path data = UsualFolder.of(given.text("--data"), "demo");
        return new Serving(console, given.has("--once"))
                .demo(data, port, given.has("--still"), given.number("--speed", 1, 1, 20));
    }
}
