package org.tenmesh.app.line;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;

/** A folder to write into that holds nothing yet. */
public final class NewFolder {
    private NewFolder() {}

    /**
     * Makes sure that nothing is overwritten.
     *
     * @throws CannotUse if there is a file of this name, or something in the folder
     */
    public static void expected(Path out) throws IOException {
        if (Files.exists(out) && !Files.isDirectory(out)) {
            throw new CannotUse(out + " is a file; expected a new or empty folder");
        }
        if (Files.isDirectory(out)) {
            try (Stream<Path> files = Files.list(out)) {
                if (files.findAny().isPresent()) {
                    throw new CannotUse(out + " is not empty; name a new or empty folder");
                }
            }
        }
    }
}
