package org.tenmesh.app.line;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/** A folder that somebody named and that must be there. */
public final class GivenFolder {
    private GivenFolder() {}

    /**
     * The folder.
     *
     * @param what it should be: "a day folder"
     * @throws CannotUse if there is no such folder, naming the one most likely meant
     */
    public static Path of(String typed, String what) {
        Path folder = Path.of(typed);
        if (Files.isDirectory(folder)) {
            return folder;
        }
        if (Files.exists(folder)) {
            Path around = folder.toAbsolutePath().normalize().getParent();
            throw new CannotUse(folder + " is a file; expected " + what
                    + (around == null ? "" : ", such as " + around + " if that is one"));
        }
        throw new CannotUse("there is no folder " + folder + "; expected " + what
                + Nearest.perhaps(String.valueOf(folder.getFileName()), beside(folder)));
    }

    private static List<String> beside(Path folder) {
        Path around = folder.toAbsolutePath().normalize().getParent();
        if (around == null || !Files.isDirectory(around)) {
            return List.of();
        }
        try (Stream<Path> there = Files.list(around)) {
            return there.filter(Files::isDirectory)
                    .map(path -> String.valueOf(path.getFileName()))
                    .filter(name -> !name.startsWith("."))
                    .sorted()
                    .toList();
        } catch (IOException unreadable) {
            // a hint is lost, nothing else
            return List.of();
        }
    }
}
