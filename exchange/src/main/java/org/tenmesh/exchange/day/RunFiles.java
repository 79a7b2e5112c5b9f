package org.tenmesh.exchange.day;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;

/** Parses all files of readings on two threads while the small files are read. */
final class RunFiles implements AutoCloseable {
    private static final int THREADS = 2;

    private final Path folder;
    private final List<Path> paths;
    private final Limits limits;
    private final Map<String, ReadingsFile> parsed = new ConcurrentHashMap<>();
    private final AtomicInteger next = new AtomicInteger();
    private final List<Thread> threads = new ArrayList<>();

    RunFiles(Path folder, List<Path> paths, Limits limits) {
        this.folder = folder;
        this.paths = paths;
        this.limits = limits;
        // The calling thread joins the work in all(), so one more is enough.
        for (int i = 1; i < THREADS && !paths.isEmpty(); i++) {
            Thread thread = new Thread(this::work, "readings-" + i);
            thread.setDaemon(true);
            thread.start();
            threads.add(thread);
        }
    }

    /** The files of readings of a day folder, by name. */
    static List<Path> in(Path folder, List<Problem> problems) {
        Path readings = folder.resolve(DayFiles.READINGS);
        if (!Files.isDirectory(readings)) {
            return List.of();
        }
        try (Stream<Path> files = Files.list(readings)) {
            return files.filter(
                            path -> name(path).endsWith(".csv") && !name(path).startsWith("."))
                    .sorted(Comparator.comparing(RunFiles::name))
                    .toList();
        } catch (IOException unreadable) {
            problems.add(new Problem(
                    DayFiles.READINGS,
                    0,
                    "",
                    "a folder that cannot be read: " + unreadable.getMessage(),
                    "a readable folder",
                    "No run is judged"));
            return List.of();
        }
    }

    private static String name(Path path) {
        return String.valueOf(path.getFileName());
    }

    private void work() {
        for (int i = next.getAndIncrement(); i < paths.size(); i = next.getAndIncrement()) {
            Path path = paths.get(i);
            String name = DayFiles.READINGS + "/" + path.getFileName();
            String consequence = "The readings of this run are left out" + DayFiles.REST;
            List<Problem> unread = new ArrayList<>();
            ReadingsFile file = TextFile.bytesInside(folder, name, limits.fileBytes(), unread, consequence)
                    .map(bytes -> ReadingsFile.parse(name, consequence, bytes))
                    .orElseGet(() -> ReadingsFile.unreadable(name, consequence, unread));
            parsed.put(name, file);
        }
    }

    Map<String, ReadingsFile> all() {
        work();
        for (Thread thread : threads) {
            boolean interrupted = false;
            while (thread.isAlive()) {
                try {
                    thread.join();
                } catch (InterruptedException again) {
                    interrupted = true;
                }
            }
            if (interrupted) {
                Thread.currentThread().interrupt();
            }
        }
        if (parsed.size() != paths.size()) {
            throw new IllegalStateException("a file of readings could not be parsed; see the error above");
        }
        return parsed;
    }

    @Override
    public void close() {
        next.set(paths.size());
    }
}
