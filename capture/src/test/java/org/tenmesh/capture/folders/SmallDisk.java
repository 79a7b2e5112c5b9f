package org.tenmesh.capture.folders;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** A file system of one megabyte in memory, where the system lets a test have one. */
final class SmallDisk implements AutoCloseable {
    private final Path folder;
    private final Path ballast;

    private SmallDisk(Path folder) {
        this.folder = folder;
        ballast = folder.resolve("ballast");
    }

    /** Empty where this is not permitted. */
    static Optional<SmallDisk> at(Path folder) throws IOException, InterruptedException {
        return runs("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", folder.toString())
                ? Optional.of(new SmallDisk(folder))
                : Optional.empty();
    }

    private static boolean runs(String... command) throws IOException, InterruptedException {
        try {
            Process process = new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            return process.waitFor(30, TimeUnit.SECONDS) && process.exitValue() == 0;
        } catch (IOException noSuchProgram) {
            return false;
        }
    }

    /** Fills it except for some bytes, a multiple of 4,096. */
    void fill(int left) throws IOException {
        Files.write(ballast, new byte[0]);
        Path reserved = folder.resolve("reserved");
        Files.write(reserved, new byte[left]);
        try (OutputStream out = Files.newOutputStream(ballast)) {
            while (true) {
                out.write(new byte[4096]);
            }
        } catch (IOException full) {
            Files.delete(reserved);
        }
    }

    void makeSpace() throws IOException {
        Files.delete(ballast);
    }

    @Override
    public void close() throws IOException, InterruptedException {
        runs("umount", folder.toString());
    }
}
