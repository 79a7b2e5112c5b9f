package org.tenmesh.app.laboratory;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.List;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.store.Store;

/** Which sources readings come from: those of {@code capture.yaml}, in the data folder or where {@code --capture} says. */
final class CaptureChoice {
    static final Shape.Option OPTION = Shape.Option.of(
            "--capture", "FILE", "the sources that readings come from, usually capture.yaml in the data folder");

    private CaptureChoice() {}

    /**
     * Starts the sources. What is wrong in the file is told, and costs the source concerned.
     *
     * @throws CannotUse when the file that was named is not there
     */
    static Capture start(Shape.Given given, Path data, Store store, MethodBook methods, Clock clock, Console console) {
        Path file = given.text("--capture").map(Path::of).orElse(data.resolve("capture.yaml"));
        if (given.text("--capture").isPresent() && !Files.exists(file)) {
            throw new CannotUse("there is no file " + file + "; --capture names the file with the sources of readings");
        }
        return start(file, data, store, methods, clock, console);
    }

    /** Starts the sources of a file, none when there is no file. */
    static Capture start(Path file, Path data, Store store, MethodBook methods, Clock clock, Console console) {
        CaptureSettings settings =
                Files.exists(file) ? CaptureFile.read(file, methods.ids()::contains) : CaptureSettings.NONE;
        settings.problems().stream().map(Problem::sentence).forEach(console::tell);
        return Capture.start(settings, new StoredInbox(store), clock, ZoneId.systemDefault(), List.of(data));
    }
}
