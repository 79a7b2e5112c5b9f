package org.tenmesh.capture.lines;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.links.Connection;
import org.tenmesh.capture.links.HeldOpen;
import org.tenmesh.capture.links.Opener;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.capture.pieces.Temperatures;
import org.tenmesh.capture.runs.Arrived;
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.LinePieces;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.Watch;
import org.tenmesh.core.reduction.Readings;

/**
 * Readings that come line by line. One thread reads the device, one stores; between them is a queue of a fixed length, and when it is full the
 * device is not read, so that it has to wait.
 */
public final class LineSource implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(LineSource.class);
    private static final int AT_ONCE = 200;
    /** A read waits no longer than this, so that it is seen when the source is to leave. */
    private static final Duration SLICE = Duration.ofSeconds(1);

    private static final Duration SHORT = Duration.ofMillis(200);
    /** A device that never stops sending is left at the end of a line after so long. */
    private static final Duration LEAVES = Duration.ofSeconds(2);

    private static final Duration FOREVER = Duration.ofDays(100_000);

    private record Waiting(
            Arrived line, Optional<String> wrong, @Nullable Connection from) {}

    private final Source source;
    private final Source.Lines way;
    private final LinePieces lines;
    private final Entrance entrance;
    private final Watch watch;
    private final Clock clock;
    private final BlockingQueue<Waiting> queue;
    private final AtomicLong count = new AtomicLong();
    private final String started;
    private final HeldOpen link;
    private final Thread stores;

    /** @param source whose way is {@link Source.Lines} */
    public LineSource(Source source, Opener opener, LinePieces lines, Entrance entrance, Watch watch, Clock clock) {
        this.source = source;
        this.way = (Source.Lines) source.way();
        this.lines = lines;
        this.entrance = entrance;
        this.watch = watch;
        this.clock = clock;
        this.queue = new ArrayBlockingQueue<>(source.queue());
        this.started = Long.toString(clock.millis(), 36) + Long.toString(System.nanoTime() & 0xffffff, 36);
        watch.queue(queue::size);
        link = new HeldOpen(source.name(), "reads", opener, watch, this::lines);
        stores = new Thread(this::store, source.name() + " stores");
        stores.setDaemon(true);
    }

    public void start() {
        link.start();
        stores.start();
    }

    /** Stops reading, stores what was read as long as the store answers, and ends. */
    @Override
    public void close() {
        link.close();
        try {
            link.join(2_000);
            stores.join(5_000);
            entrance.close();
            stores.interrupt();
            stores.join(2_000);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
    }

    /**
     * Takes no new connection, reads what has come, and returns when all of it is stored, however long the store takes.
     *
     * @throws InterruptedException when the thread is to stop; what was read is stored all the same while the program runs
     */
    public void leave() throws InterruptedException {
        link.leave();
        link.join(0);
        link.close();
        stores.join();
        entrance.close();
    }

    private void lines(Connection from) throws IOException, InterruptedException {
        LineCutter cutter = new LineCutter(way.ending().getBytes(StandardCharsets.US_ASCII), way.mostBytes());
        long lastByte = System.nanoTime();
        long leavesAt = 0;
        while (!link.isClosed()) {
            int value = from.read(link.isLeaving() ? SHORT : SLICE);
            if (link.isLeaving()) {
                leavesAt = leavesAt == 0 ? System.nanoTime() : leavesAt;
                if (value == Connection.NOTHING || System.nanoTime() - leavesAt > 2 * LEAVES.toNanos()) {
                    rest(cutter, "the settings of the source were changed in the middle of a line");
                    return;
                }
            }
            if (value == Connection.NOTHING) {
                if (way.idle().isZero()
                        || System.nanoTime() - lastByte < way.idle().toNanos()) {
                    continue;
                }
                rest(cutter, "the device sent nothing for " + way.idle().toSeconds() + " s in the middle of a line");
                throw new IOException("nothing came for " + way.idle().toSeconds() + " s");
            }
            if (value == Connection.END) {
                rest(cutter, "the connection was closed in the middle of a line");
                if (way.link() instanceof Source.Listen) {
                    // A device that connects when it has something to say; its silence is told by what is expected of
                    // its run.
                    return;
                }
                throw new IOException("the device closed the connection");
            }
            lastByte = System.nanoTime();
            Optional<LineCutter.Line> line = cutter.next(value);
            if (line.isPresent()) {
                put(
                        line.get().bytes(),
                        line.get().tooLong()
                                ? Optional.of(
                                        "a line of more than " + way.mostBytes() + " bytes: expected an end of line ("
                                                + way.ending()
                                                        .replace("\r", "CR ")
                                                        .replace("\n", "LF")
                                                        .strip() + ") before")
                                : Optional.empty(),
                        from);
                if (leavesAt != 0 && System.nanoTime() - leavesAt > LEAVES.toNanos()) {
                    return;
                }
            }
        }
    }

    private void rest(LineCutter cutter, String why) throws InterruptedException {
        Optional<LineCutter.Line> rest = cutter.rest();
        if (rest.isPresent()) {
            put(rest.get().bytes(), Optional.of(why), null);
        }
    }

    private void put(byte[] bytes, Optional<String> wrong, @Nullable Connection from) throws InterruptedException {
        Instant now = clock.instant();
        String text = new String(bytes, source.encoding());
        queue.put(new Waiting(new Arrived(started + "-" + count.incrementAndGet(), text, bytes, now), wrong, from));
    }

    private void store() {
        try {
            while (!link.isClosed() || !queue.isEmpty() || link.isAlive()) {
                Waiting first = queue.poll(500, TimeUnit.MILLISECONDS);
                if (first == null) {
                    silence();
                    continue;
                }
                List<Waiting> some = new ArrayList<>(List.of(first));
                queue.drainTo(some, AT_ONCE - 1);
                store(some);
            }
        } catch (InterruptedException stop) {
            LOG.debug("source {} ends", source.name());
        }
    }

    private void silence() throws InterruptedException {
        try {
            Optional<Piece> end = lines.silent(watch.silence(), clock.instant());
            if (end.isPresent()) {
                entrance.keep(end::get, FOREVER);
            }
        } catch (Inbox.NotNow notNow) {
            LOG.debug("waiting for the store", notNow);
        }
    }

    private void store(List<Waiting> some) throws InterruptedException {
        List<Piece> together = new ArrayList<>();
        List<Waiting> theirs = new ArrayList<>();
        for (Waiting one : some) {
            Optional<Piece> piece = made(one);
            if (piece.isPresent()
                    && !together.isEmpty()
                    && !(goesOn(together.get(together.size() - 1)) && goesOn(piece.get()))) {
                keep(together, theirs);
            }
            piece.ifPresent(together::add);
            theirs.add(one);
            if (piece.isPresent() && !goesOn(piece.get())) {
                // What follows asks the inbox: it must find this piece there.
                keep(together, theirs);
            }
        }
        keep(together, theirs);
    }

    private Optional<Piece> made(Waiting one) throws InterruptedException {
        if (one.wrong().isPresent()) {
            Arrived line = one.line();
            return Optional.of(Piece.of(
                            source.name(),
                            line.key(),
                            source.name() + ", a part of a line",
                            line.receivedAt(),
                            line.bytes())
                    .aside(one.wrong().get()));
        }
        while (true) {
            try {
                return lines.piece(one.line());
            } catch (Inbox.NotNow notNow) {
                watch.wrong("store", "the store does not answer, and what came waits: " + notNow.getMessage());
                if (entrance.isClosed()) {
                    throw new InterruptedException("the store does not answer and the program ends");
                }
                Thread.sleep(200);
            }
        }
    }

    private static boolean goesOn(Piece piece) {
        return piece.setAside().isEmpty()
                && (piece.temperatures().isPresent()
                        || piece.parts().size() == 1 && !piece.parts().get(0).last());
    }

    private void keep(List<Piece> together, List<Waiting> theirs) throws InterruptedException {
        if (!together.isEmpty()) {
            Piece one = together.size() == 1 ? together.get(0) : joined(together);
            Supplier<Piece> made = () -> one;
            if (entrance.keep(made, FOREVER).isEmpty()) {
                throw new InterruptedException("the program ends before the store answers");
            }
        }
        if (way.reply().isPresent()) {
            for (Waiting line : theirs) {
                Connection from = line.from();
                if (from != null && line.wrong().isEmpty()) {
                    try {
                        from.write((way.reply().get() + way.ending()).getBytes(StandardCharsets.US_ASCII));
                    } catch (IOException lost) {
                        // The device sends the line again, or does not: it is stored.
                        LOG.debug("reply of {} not sent", source.name(), lost);
                    }
                }
            }
        }
        together.clear();
        theirs.clear();
    }

    private Piece joined(List<Piece> pieces) {
        Piece first = pieces.get(0);
        Piece last = pieces.get(pieces.size() - 1);
        byte[] ending = way.ending().getBytes(StandardCharsets.US_ASCII);
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        for (Piece piece : pieces) {
            bytes.writeBytes(piece.bytes());
            bytes.writeBytes(ending);
        }
        Piece all = Piece.of(
                first.source(),
                first.key() + " to " + last.key(),
                first.name(),
                first.receivedAt(),
                bytes.toByteArray());
        if (first.temperatures().isPresent()) {
            return all.adds(new Temperatures(
                    source.instrument(),
                    pieces.stream()
                            .flatMap(piece -> piece.temperatures().stream())
                            .flatMap(some -> some.points().stream())
                            .toList()));
        }
        Readings readings = Readings.builder().build();
        for (Piece piece : pieces) {
            readings = readings.and(piece.parts().get(0).run().readings());
        }
        return all.adds(List.of(new RunPart(first.parts().get(0).run().with(readings), false)));
    }
}
