package org.tenmesh.capture.folders;

import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.PathMatcher;
import java.nio.file.StandardWatchEventKinds;
import java.nio.file.WatchKey;
import java.nio.file.WatchService;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.FilePieces;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.Watch;

/**
 * A folder into which an instrument puts its exports. It is looked at when the system says that something changed, and regularly, because
 * network folders say nothing.
 */
public final class FolderSource implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(FolderSource.class);
    private static final String FOLDER = "folder";
    private static final Duration FOREVER = Duration.ofDays(100_000);
    private static final long SOON_MS = 250;

    private final Source source;
    private final Source.Folder way;
    private final FilePieces pieces;
    private final Entrance entrance;
    private final Watch watch;
    private final Clock clock;
    private final ZoneId zone;
    private final LongSupplier nanos;
    private final Complete complete;
    private final Shelves shelves;
    private final PathMatcher named;
    private final Map<String, Left> left = new HashMap<>();
    private final Map<String, Beginning> beginnings = new HashMap<>();
    private final Thread thread;
    private volatile boolean closed;
    private volatile int waiting;

    /** A file that was looked at and stays where it is. */
    private record Left(long size, Instant time) {}

    /** What was taken of a file that stays where it is. */
    private record Beginning(long size, String sha256) {}

    /** @param source whose way is {@link Source.Folder} */
    public FolderSource(
            Source source,
            FilePieces pieces,
            Entrance entrance,
            Watch watch,
            Clock clock,
            ZoneId zone,
            LongSupplier nanos) {
        this.source = source;
        this.way = (Source.Folder) source.way();
        this.pieces = pieces;
        this.entrance = entrance;
        this.watch = watch;
        this.clock = clock;
        this.zone = zone;
        this.nanos = nanos;
        complete = new Complete(way.quiet());
        shelves = new Shelves(way.folder());
        named = FileSystems.getDefault().getPathMatcher("glob:" + way.files());
        watch.queue(() -> waiting);
        thread = new Thread(this::work, source.name() + " looks");
        thread.setDaemon(true);
    }

    public void start() {
        thread.start();
    }

    @Override
    public void close() {
        closed = true;
        entrance.close();
        thread.interrupt();
        try {
            thread.join(5_000);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
    }

    private void work() {
        WatchService changes = null;
        try {
            while (!closed) {
                changes = listening(changes);
                int undecided = look();
                waiting = undecided;
                silence();
                // What is not complete yet is looked at again soon; else a change or the regular look wakes.
                long pause = undecided > 0
                        ? Math.min(
                                SOON_MS + way.quiet().toMillis() / 4, way.look().toMillis())
                        : way.look().toMillis();
                if (changes == null) {
                    Thread.sleep(pause);
                } else {
                    WatchKey key = changes.poll(pause, TimeUnit.MILLISECONDS);
                    if (key != null) {
                        key.pollEvents();
                        if (!key.reset()) {
                            close(changes);
                            changes = null;
                        }
                    }
                }
            }
        } catch (InterruptedException stop) {
            LOG.debug("source {} ends", source.name());
        } finally {
            close(changes);
        }
    }

    private void silence() throws InterruptedException {
        try {
            Optional<Piece> end = pieces.silent(watch.silence(), clock.instant());
            if (end.isPresent()) {
                entrance.keep(end::get, FOREVER);
            }
        } catch (Inbox.NotNow notNow) {
            LOG.debug("waiting for the store", notNow);
        }
    }

    private @Nullable WatchService listening(@Nullable WatchService now) {
        if (now != null) {
            return now;
        }
        WatchService fresh = null;
        try {
            fresh = FileSystems.getDefault().newWatchService();
            way.folder()
                    .register(
                            fresh,
                            StandardWatchEventKinds.ENTRY_CREATE,
                            StandardWatchEventKinds.ENTRY_MODIFY,
                            StandardWatchEventKinds.OVERFLOW);
            return fresh;
        } catch (IOException notThere) {
            // The regular look tells it and goes on.
            close(fresh);
            return null;
        }
    }

    private static void close(@Nullable WatchService changes) {
        if (changes != null) {
            try {
                changes.close();
            } catch (IOException alreadyLost) {
                LOG.debug("watching a folder ended", alreadyLost);
            }
        }
    }

    /** Looks at every file once; how many are not decided yet. */
    int look() throws InterruptedException {
        List<Path> files = new ArrayList<>();
        int undecided = 0;
        try (DirectoryStream<Path> all = Files.newDirectoryStream(way.folder())) {
            for (Path file : all) {
                if (Complete.isTemporary(file)) {
                    BasicFileAttributes of = attributes(file);
                    if (of != null && of.isRegularFile()) {
                        complete.temporary(of);
                    }
                } else if (named.matches(file.getFileName())) {
                    files.add(file);
                }
            }
            if (!Files.isWritable(way.folder()) && way.move()) {
                throw new IOException("it cannot be written to, and taken files are moved inside it");
            }
            watch.right(FOLDER);
            watch.says("watches " + way.folder());
        } catch (NoSuchFileException | NotDirectoryException gone) {
            return wrong("the folder " + way.folder() + " is not there");
        } catch (IOException | DirectoryIteratorException unreadable) {
            return wrong("the folder " + way.folder() + " cannot be used: " + unreadable.getMessage());
        }
        Set<Path> there = new HashSet<>(files);
        complete.keepOnly(there);
        Set<String> names = new HashSet<>();
        files.forEach(file -> names.add(file.getFileName().toString()));
        left.keySet().retainAll(names);
        beginnings.keySet().retainAll(names);
        // The oldest first: the order in which they were written.
        files.sort(Comparator.comparing(FolderSource::written));
        boolean failed = false;
        for (Path file : files) {
            BasicFileAttributes of = attributes(file);
            if (of == null || !of.isRegularFile() || isLeft(file, of)) {
                continue;
            }
            if (!complete.is(file, of, nanos.getAsLong())) {
                undecided++;
                continue;
            }
            try {
                if (!take(file, of)) {
                    undecided++;
                }
            } catch (IOException wrong) {
                undecided++;
                failed = true;
                watch.wrong("file", file.getFileName() + ": " + wrong.getMessage() + "; it is tried again");
            }
        }
        if (!failed) {
            watch.right("file");
        }
        return undecided;
    }

    private int wrong(String sentence) {
        watch.wrong(FOLDER, sentence + "; it is tried again");
        watch.says("waits for its folder");
        return 0;
    }

    private static Instant written(Path file) {
        BasicFileAttributes of = attributes(file);
        return of == null ? Instant.EPOCH : of.lastModifiedTime().toInstant();
    }

    private static @Nullable BasicFileAttributes attributes(Path file) {
        try {
            return Files.readAttributes(file, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
        } catch (IOException gone) {
            return null;
        }
    }

    private boolean isLeft(Path file, BasicFileAttributes of) {
        Left before = left.get(file.getFileName().toString());
        return before != null
                && before.size() == of.size()
                && before.time().equals(of.lastModifiedTime().toInstant());
    }

    /** Takes a file that is complete; false when it changed meanwhile and is looked at again. */
    private boolean take(Path file, BasicFileAttributes of) throws IOException, InterruptedException {
        String name = file.getFileName().toString();
        if (of.size() > way.mostBytes()) {
            aside(
                    file,
                    of,
                    new byte[0],
                    "a file of " + of.size() / 1_000_000 + " MB: expected at most " + way.mostBytes() / 1_000_000
                            + " MB (most_megabytes)");
            return true;
        }
        byte[] bytes = Files.readAllBytes(file);
        if (!same(of, attributes(file)) || bytes.length != of.size()) {
            return false;
        }
        String sha256 = Piece.sha256(bytes);
        Instant now = clock.instant();
        Optional<Piece> kept = entrance.keep(() -> piece(name, bytes, sha256, now), FOREVER);
        if (kept.isEmpty()) {
            throw new InterruptedException("the program ends before the store answers");
        }
        if (kept.get().setAside().isPresent()) {
            aside(file, of, bytes, kept.get().setAside().get());
            return true;
        }
        if (!way.move()) {
            left.put(name, new Left(of.size(), of.lastModifiedTime().toInstant()));
            beginnings.put(name, new Beginning(of.size(), sha256));
            return true;
        }
        if (!same(of, attributes(file))) {
            // It grew while it was stored: the next look takes the rest.
            return false;
        }
        shelves.taken(file, now.atZone(zone).toLocalDate(), sha256);
        return true;
    }

    private Piece piece(String name, byte[] bytes, String sha256, Instant now) {
        Piece piece = pieces.of(sha256, name, bytes, now, way.move());
        Beginning before = beginnings.get(name);
        if (before == null || piece.setAside().isPresent()) {
            return piece;
        }
        boolean grown = bytes.length >= before.size()
                && Piece.sha256(Arrays.copyOf(bytes, (int) before.size())).equals(before.sha256());
        return grown
                ? piece
                : piece.aside(
                        "its first " + before.size() + " bytes are not those that were taken before: expected a file"
                                + " that only grows. What was stored stays; nothing of this file is taken");
    }

    private void aside(Path file, BasicFileAttributes of, byte[] bytes, String why) throws IOException {
        if (way.move()) {
            shelves.setAside(file, why);
        } else {
            shelves.copyAside(file, bytes, why);
            left.put(
                    file.getFileName().toString(),
                    new Left(of.size(), of.lastModifiedTime().toInstant()));
        }
    }

    private static boolean same(BasicFileAttributes before, @Nullable BasicFileAttributes now) {
        return now != null
                && before.size() == now.size()
                && before.lastModifiedTime().equals(now.lastModifiedTime());
    }
}
