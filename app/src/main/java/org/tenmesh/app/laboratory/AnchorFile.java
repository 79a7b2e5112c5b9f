package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Refused;
import org.tenmesh.app.line.Shape;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.live.Following;

/**
 * Writes the journal's newest entry to a file of the laboratory's choice: when the server starts, at each release, and every ten minutes
 * in which something was written. Lines are added and synced, never changed.
 */
final class AnchorFile implements AutoCloseable {
    static final Shape.Option OPTION = Shape.Option.of(
            "--anchors", "FILE", "adds the journal's newest entry to this file, at each release and every ten minutes");

    private static final int MINUTES = 10;

    private final Store store;
    private final Path file;
    private final Console console;
    private final Following releases;
    private final ScheduledExecutorService clock = Executors.newSingleThreadScheduledExecutor(work -> {
        Thread one = new Thread(work, "anchors");
        one.setDaemon(true);
        return one;
    });
    private long last = -1;
    private boolean trouble;

    /** @throws CannotUse when the file cannot be written */
    AnchorFile(Store store, Path file, Console console) {
        this.store = store;
        this.file = file;
        this.console = console;
        try {
            write();
        } catch (IOException refused) {
            throw new CannotUse("--anchors " + file + " cannot be written: " + Refused.sentence(refused));
        }
        clock.scheduleWithFixedDelay(this::add, MINUTES, MINUTES, TimeUnit.MINUTES);
        releases = store.follow(entries -> {
            if (entries.stream().anyMatch(entry -> entry.what().equals("released"))) {
                clock.execute(this::add);
            }
        });
    }

    private synchronized void write() throws IOException {
        Anchor newest = store.anchor();
        if (newest.seq() == last) {
            return;
        }
        try (FileChannel channel = FileChannel.open(
                file, StandardOpenOption.CREATE, StandardOpenOption.WRITE, StandardOpenOption.APPEND)) {
            ByteBuffer line = ByteBuffer.wrap((newest.line() + "\n").getBytes(StandardCharsets.UTF_8));
            while (line.hasRemaining()) {
                channel.write(line);
            }
            channel.force(true);
        }
        last = newest.seq();
    }

    private void add() {
        try {
            write();
            trouble = false;
        } catch (IOException | RuntimeException refused) {
            if (!trouble) {
                console.tell("anchors cannot be added to " + file + ", and it is tried again: " + refused.getMessage());
            }
            trouble = true;
        }
    }

    @Override
    public void close() {
        releases.close();
        clock.shutdown();
        add();
    }
}
