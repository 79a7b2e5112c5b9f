package org.tenmesh.app.laboratory;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Supplier;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.methods.MethodBook;
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
        AtomicBoolean seen = new AtomicBoolean();
        Supplier<CaptureSettings> read = () -> {
            // No file is no sources; one that is gone is a mistake, not the wish to stop them all.
            seen.compareAndSet(false, Files.exists(file));
            return seen.get() ? CaptureFile.read(file, methods.ids()::contains) : CaptureSettings.NONE;
        };
        Capture capture = Capture.start(read, new StoredInbox(store), clock, ZoneId.systemDefault(), List.of(data));
        capture.problems().forEach(console::tell);
        return capture;
    }
}
