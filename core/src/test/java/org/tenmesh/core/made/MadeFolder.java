package org.tenmesh.core.made;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;

/**
 * A folder that takes seconds to make, made once in a Java process and copied for each test that needs one of its own. Gone with the
 * process. May be used by several threads.
 */
public final class MadeFolder {
    private final Consumer<Path> maker;
    private final String unchanged;
    private Optional<Path> made = Optional.empty();

    /**
     * @param maker makes the folder, which is not there yet, and leaves nothing open in it
     * @param unchanged a folder in it whose files nobody writes to: a copy shares them where the file system can
     */
    public MadeFolder(String unchanged, Consumer<Path> maker) {
        this.unchanged = unchanged;
        this.maker = maker;
    }

    /**
     * Copies it.
     *
     * @param to not there yet, or empty
     * @return {@code to}
     */
    public Path copyTo(Path to) {
        Path from = made();
        try {
            Files.walkFileTree(from, new SimpleFileVisitor<>() {
                @Override
                public FileVisitResult preVisitDirectory(Path folder, BasicFileAttributes of) throws IOException {
                    Path target = to.resolve(from.relativize(folder).toString());
                    Files.createDirectories(target);
                    if (target.getFileSystem().supportedFileAttributeViews().contains("posix")) {
                        Files.setPosixFilePermissions(target, Files.getPosixFilePermissions(folder));
                    }
                    return FileVisitResult.CONTINUE;
                }

                @Override
                public FileVisitResult visitFile(Path file, BasicFileAttributes of) throws IOException {
                    Path target = to.resolve(from.relativize(file).toString());
                    if (!of.isRegularFile() || !file.startsWith(from.resolve(unchanged)) || !linked(file, target)) {
                        Files.copy(file, target, StandardCopyOption.COPY_ATTRIBUTES, LinkOption.NOFOLLOW_LINKS);
                    }
                    return FileVisitResult.CONTINUE;
                }
            });
            return to;
        } catch (IOException e) {
            throw new UncheckedIOException(from + " could not be copied to " + to, e);
        }
    }

    private static boolean linked(Path file, Path target) {
        try {
            Files.createLink(target, file);
            return true;
        } catch (IOException | UnsupportedOperationException e) {
            // On another disk, or where there are no links: a copy does as well.
            return false;
        }
    }

    private synchronized Path made() {
        if (made.isEmpty()) {
            try {
                Path around = Files.createTempDirectory(
                        Files.createDirectories(Path.of("target").toAbsolutePath()), "made-");
                Runtime.getRuntime().addShutdownHook(new Thread(() -> delete(around)));
                Path folder = around.resolve("folder");
                maker.accept(folder);
                made = Optional.of(folder);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
        return made.get();
    }

    private static void delete(Path around) {
        try (Stream<Path> all = Files.walk(around)) {
            List<Path> paths = all.sorted(Comparator.reverseOrder()).toList();
            for (Path path : paths) {
                Files.delete(path);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
