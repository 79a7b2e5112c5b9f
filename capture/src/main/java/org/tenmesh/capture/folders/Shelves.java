package org.tenmesh.capture.folders;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.LocalDate;

/** Where files go when they were looked at: {@code taken/DATE} with their digest beside, or {@code set-aside} with the reason beside. */
final class Shelves {
    static final String TAKEN = "taken";
    static final String SET_ASIDE = "set-aside";

    private final Path folder;

    Shelves(Path folder) {
        this.folder = folder;
    }

    /** Moves a file that was taken, unchanged. */
    Path taken(Path file, LocalDate date, String sha256) throws IOException {
        Path to = free(
                folder.resolve(TAKEN).resolve(date.toString()),
                file.getFileName().toString());
        // Where the disk is full the file stays where it is, and is looked at again.
        digest(to, sha256);
        move(file, to);
        return to;
    }

    /** Writes a digest beside a file, in the form that {@code sha256sum --check} reads. */
    void digest(Path file, String sha256) throws IOException {
        Files.writeString(
                file.resolveSibling(file.getFileName() + ".sha256"), sha256 + "  " + file.getFileName() + "\n");
    }

    /** Moves a file of which nothing was taken. */
    void setAside(Path file, String why) throws IOException {
        Path to = free(folder.resolve(SET_ASIDE), file.getFileName().toString());
        reason(to, why);
        move(file, to);
    }

    /** Keeps a copy of a file that stays where it is, and the reason why nothing of it was taken. */
    void copyAside(Path file, byte[] bytes, String why) throws IOException {
        Path to = free(folder.resolve(SET_ASIDE), file.getFileName().toString());
        reason(to, why);
        Files.write(to, bytes);
    }

    private static void reason(Path beside, String why) throws IOException {
        Files.writeString(
                beside.resolveSibling(beside.getFileName() + ".reason.txt"),
                "Nothing of this file was taken: " + why + "\n",
                StandardCharsets.UTF_8);
    }

    private static Path free(Path in, String name) throws IOException {
        Files.createDirectories(in);
        Path to = in.resolve(name);
        for (int i = 2; Files.exists(to); i++) {
            to = in.resolve(i + "-" + name);
        }
        return to;
    }

    private static void move(Path from, Path to) throws IOException {
        try {
            Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException otherDisk) {
            Files.move(from, to);
        }
    }
}
