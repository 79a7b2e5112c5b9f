package org.tenmesh.capture.state;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.IntSupplier;
import java.util.function.LongSupplier;
import java.util.stream.Stream;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.reduction.Readings;

/** What is known of a source while it works. May be used by several threads. */
public final class Watch {
    private static final int NEWEST = 20;

    private final Source source;
    private final Clock clock;
    private final LongSupplier nanos;
    private final Map<String, String> wrong = new TreeMap<>();
    private final Deque<SourceState.Came> newest = new ArrayDeque<>();
    private IntSupplier queued = () -> 0;
    private String says = "starting";
    private Optional<Instant> lastPiece = Optional.empty();
    private Optional<Instant> lastReading = Optional.empty();
    private Optional<Duration> clockAhead = Optional.empty();
    private Optional<String> run = Optional.empty();
    private int positions;
    private long lastPieceNanos;
    private long kept;
    private long keptBefore;
    private long setAside;

    /** @param nanos grows with time whatever the clock does, such as {@code System::nanoTime} */
    public Watch(Source source, Clock clock, LongSupplier nanos) {
        this.source = source;
        this.clock = clock;
        this.nanos = nanos;
        this.lastPieceNanos = nanos.getAsLong();
    }

    /** Tells where the number of waiting pieces is found. */
    public synchronized void queue(IntSupplier waiting) {
        queued = waiting;
    }

    /** What the source does now. */
    public synchronized void says(String now) {
        says = now;
    }

    /**
     * Something is wrong.
     *
     * @param what about what, so that the same thing is told once
     */
    public synchronized void wrong(String what, String sentence) {
        wrong.put(what, sentence);
    }

    /** That is right again. */
    public synchronized void right(String what) {
        wrong.remove(what);
    }

    /** A run is under way with so many positions; empty when none is. */
    public synchronized void run(Optional<String> name, int read) {
        run = name;
        positions = read;
    }

    /** A piece was stored. */
    public synchronized void kept(Piece piece, boolean before) {
        if (before) {
            keptBefore++;
        } else if (piece.setAside().isPresent()) {
            setAside++;
        } else {
            kept++;
        }
        came(piece, before ? "taken before" : piece.setAside().orElse("taken"));
        Optional<Instant> newestReading = Stream.concat(
                        piece.parts().stream()
                                .map(part -> part.run().readings())
                                .filter(readings -> readings.size() > 0)
                                .map(Watch::latest),
                        piece.temperatures().stream()
                                .flatMap(some -> some.points().stream())
                                .map(Charge.Point::at))
                .max(Instant::compareTo);
        if (newestReading.isPresent() && !before) {
            lastReading = newestReading;
            // A file may be carried over long after it was read: only what comes at once tells of the clock.
            boolean atOnce = source.way() instanceof Source.Lines || source.way() instanceof Source.Frames;
            clockAhead = atOnce
                    ? Optional.of(Duration.between(piece.receivedAt(), newestReading.get()))
                    : newestReading
                            .filter(at -> at.isAfter(piece.receivedAt()))
                            .map(at -> Duration.between(piece.receivedAt(), at));
        }
    }

    /** Something that is stored came again. */
    public synchronized void again() {
        keptBefore++;
        lastPiece = Optional.of(clock.instant());
        lastPieceNanos = nanos.getAsLong();
    }

    private static Instant latest(Readings readings) {
        long latest = Long.MIN_VALUE;
        for (int i = 0; i < readings.size(); i++) {
            latest = Math.max(latest, readings.atMillis(i));
        }
        return Instant.ofEpochMilli(latest);
    }

    private void came(Piece piece, String became) {
        lastPiece = Optional.of(clock.instant());
        lastPieceNanos = nanos.getAsLong();
        if (piece.bytes().length == 0) {
            return;
        }
        newest.addFirst(
                new SourceState.Came(piece.name(), piece.receivedAt(), piece.sha256(), piece.readings(), became));
        while (newest.size() > NEWEST) {
            newest.removeLast();
        }
    }

    /** How long nothing came. */
    public synchronized Duration silence() {
        return Duration.ofNanos(nanos.getAsLong() - lastPieceNanos);
    }

    /** How it stands now. */
    public synchronized SourceState now() {
        List<String> told = new ArrayList<>(wrong.values());
        Duration silence = silence();
        if (run.isPresent() && !source.expectWithin().isZero() && silence.compareTo(source.expectWithin()) > 0) {
            told.add("nothing came for " + words(silence) + " although run " + run.get()
                    + " is under way; something is expected every " + words(source.expectWithin()));
        }
        clockAhead
                .filter(ahead -> ahead.abs().compareTo(source.clockWithin()) > 0)
                .ifPresent(ahead -> told.add("its clock is " + words(ahead.abs())
                        + (ahead.isNegative() ? " behind" : " ahead of") + " this machine's"));
        int waiting = queued.getAsInt();
        if (waiting >= source.queue()) {
            told.add("the queue is full (" + waiting + "): the sender waits");
        }
        return new SourceState(
                source.name(),
                source.way().word(),
                source.instrument(),
                source.method(),
                told,
                says,
                lastPiece,
                lastReading,
                clockAhead,
                run,
                positions,
                waiting,
                kept,
                keptBefore,
                setAside,
                List.copyOf(newest));
    }

    private static String words(Duration time) {
        long s = time.toSeconds();
        if (s < 120) {
            return s + " s";
        }
        return s < 7_200 ? s / 60 + " min" : s / 3_600 + " h " + s % 3_600 / 60 + " min";
    }
}
