package org.tenmesh.exchange.file;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/** Writes the files of a folder so that they appear together: none of them takes its place before all are written. */
public final class WholeFolder {
    private WholeFolder() {}

    /** What writes the files into the folder it is given. */
    public interface Writer {
        void write(Path folder) throws IOException;
    }

    /**
     * Writes files into a folder, made when it is missing. What else is in the folder stays. When the writing fails, the folder is as
     * it was before.
     *
     * @param last the file that takes its place last and whose older version goes first: a folder that has it is whole
     */
    public static void write(Path folder, String last, Writer writer) throws IOException {
        Path out = folder.toAbsolutePath().normalize();
        boolean fresh = !Files.exists(out);
        Path parent = out.getParent() == null ? out : out.getParent();
        Files.createDirectories(fresh ? parent : out);
        // Beside its place or inside it, so that taking it is a renaming and not a copying.
        Path part = (fresh ? parent : out)
                .resolve("." + out.getFileName() + "." + ProcessHandle.current().pid() + ".part");
        remove(part);
        Files.createDirectory(part);
        try {
            writer.write(part);
            if (fresh) {
                Files.move(part, out, StandardCopyOption.ATOMIC_MOVE);
                return;
            }
            Files.deleteIfExists(out.resolve(last));
            for (String name : names(part, last)) {
                Files.move(part.resolve(name), out.resolve(name), StandardCopyOption.REPLACE_EXISTING);
            }
        } finally {
            remove(part);
        }
    }

    private static List<String> names(Path part, String last) throws IOException {
        try (Stream<Path> files = Files.list(part)) {
            return files.map(path -> String.valueOf(path.getFileName()))
                    .sorted(Comparator.comparing((String name) -> name.equals(last))
                            .thenComparing(name -> name))
                    .toList();
        }
    }

    private static void remove(Path folder) throws IOException {
        if (Files.isDirectory(folder)) {
            try (Stream<Path> files = Files.list(folder)) {
                for (Path file : files.toList()) {
                    Files.delete(file);
                }
            }
            Files.delete(folder);
        }
    }
}
