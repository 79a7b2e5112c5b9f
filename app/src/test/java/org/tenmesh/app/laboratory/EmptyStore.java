package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.time.Clock;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;

/**
 * A store with nothing in it, made once and copied. What it commits is not synced to the disk: no test takes the power from the machine.
 * {@link TakeTest} makes its own, as everybody does.
 */
public final class EmptyStore {
    private static final Path EMPTY = make();

    private EmptyStore() {}

    /** @param folder not there yet, or empty */
    public static Store open(Path folder) {
        return Store.open(StoreSettings.embedded(at(folder)), Clock.systemUTC(), new SecureRandom());
    }

    /** Puts an empty store that is closed there. */
    public static Path at(Path folder) {
        try {
            for (Path from : walk(EMPTY)) {
                Path to = folder.resolve(EMPTY.relativize(from).toString());
                if (Files.isDirectory(from)) {
                    Files.createDirectories(to);
                    if (to.getFileSystem().supportedFileAttributeViews().contains("posix")) {
                        Files.setPosixFilePermissions(to, Files.getPosixFilePermissions(from));
                    }
                } else {
                    Files.copy(from, to, StandardCopyOption.COPY_ATTRIBUTES);
                }
            }
            return folder;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Path make() {
        try {
            Path around = Files.createTempDirectory(
                    Files.createDirectories(Path.of("target").toAbsolutePath()), "empty-store-");
            Runtime.getRuntime().addShutdownHook(new Thread(() -> delete(around)));
            Path folder = around.resolve("database");
            Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())
                    .close();
            Files.writeString(
                    folder.resolve("database").resolve("postgresql.auto.conf"),
                    "fsync = off\n",
                    StandardOpenOption.APPEND);
            return folder;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void delete(Path around) {
        try {
            List<Path> all = walk(around);
            for (Path path : all.stream().sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(path);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static List<Path> walk(Path root) throws IOException {
        try (Stream<Path> all = Files.walk(root)) {
            return all.toList();
        }
    }
}
