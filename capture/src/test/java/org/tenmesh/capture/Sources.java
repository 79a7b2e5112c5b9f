package org.tenmesh.capture;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.Source;

/** Settings for tests, read from a file as a laboratory writes it. */
public final class Sources {
    private Sources() {}

    public static CaptureSettings read(Path folder, String yaml) {
        try {
            Path file = Files.writeString(folder.resolve("capture.yaml"), yaml);
            return CaptureFile.read(file, List.of("ph-water-1-1", "mehlich3-icp")::contains);
        } catch (IOException failed) {
            throw new IllegalStateException(failed);
        }
    }

    /** The one source of a file without problems. */
    public static Source one(Path folder, String yaml) {
        CaptureSettings settings = read(folder, yaml);
        if (!settings.problems().isEmpty()) {
            throw new AssertionError(settings.problems().get(0).sentence());
        }
        return settings.sources().get(0);
    }
}
