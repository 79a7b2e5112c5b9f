package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** A day folder in memory: its files by name, and names that are something else. */
final class Folder {
    /** What stands under a name instead of a file. */
    enum Odd {
        FOLDER,
        LINK_OUTSIDE,
        LINK_TO_ITSELF,
        PIPE
    }

    final TreeMap<String, byte[]> files;
    final TreeMap<String, Odd> odd = new TreeMap<>();

    Folder(Map<String, byte[]> files) {
        this.files = new TreeMap<>(files);
    }

    /** What a day folder holds that the program reads; the truth of an invented day and what explains an example are left out. */
    static Folder read(Path path) throws IOException {
        Map<String, byte[]> files = new TreeMap<>();
        try (Stream<Path> walk = Files.walk(path)) {
            for (Path file : walk.filter(Files::isRegularFile).toList()) {
                String name = path.relativize(file).toString().replace('\\', '/');
                boolean ofTheDay = !name.startsWith("truth") && !name.startsWith("tables/") && !name.endsWith(".md");
                if (ofTheDay) {
                    files.put(name, Files.readAllBytes(file));
                }
            }
        }
        return new Folder(files);
    }

    Folder copy() {
        return new Folder(files);
    }

    List<String> tables() {
        return files.keySet().stream().filter(name -> name.endsWith(".csv")).toList();
    }

    Sheet sheet(String name) {
        byte[] bytes = files.get(name);
        return Sheet.of(bytes == null ? new byte[0] : bytes);
    }

    void write(Path path) throws IOException {
        Files.createDirectories(path.resolve("readings"));
        for (Map.Entry<String, byte[]> file : files.entrySet()) {
            Path at = path.resolve(file.getKey());
            Path parent = at.getParent();
            if (parent != null) {
                Files.createDirectories(parent);
            }
            Files.write(at, file.getValue());
        }
        for (Map.Entry<String, Odd> one : odd.entrySet()) {
            Path at = path.resolve(one.getKey());
            switch (one.getValue()) {
                case FOLDER -> Files.createDirectories(at);
                case LINK_OUTSIDE -> Files.createSymbolicLink(at, Path.of("/etc/hostname"));
                case LINK_TO_ITSELF -> Files.createSymbolicLink(at, at);
                case PIPE -> pipe(at);
            }
        }
    }

    private static void pipe(Path at) throws IOException {
        try {
            new ProcessBuilder("mkfifo", at.toString()).start().waitFor();
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new IOException("interrupted while a pipe was made", stopped);
        }
    }

    static void remove(Path path) {
        if (!Files.exists(path)) {
            return;
        }
        try {
            Files.walkFileTree(path, new SimpleFileVisitor<>() {
                @Override
                public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) throws IOException {
                    Files.delete(file);
                    return FileVisitResult.CONTINUE;
                }

                @Override
                public FileVisitResult postVisitDirectory(Path folder, @Nullable IOException failed)
                        throws IOException {
                    Files.delete(folder);
                    return FileVisitResult.CONTINUE;
                }
            });
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    static List<String> names(Path path) throws IOException {
        if (!Files.isDirectory(path)) {
            return List.of();
        }
        try (Stream<Path> all = Files.list(path)) {
            return new ArrayList<>(
                    all.map(one -> String.valueOf(one.getFileName())).sorted().toList());
        }
    }
}
