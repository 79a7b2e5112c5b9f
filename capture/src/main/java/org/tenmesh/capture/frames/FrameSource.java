package org.tenmesh.capture.frames;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.links.Connection;
import org.tenmesh.capture.links.HeldOpen;
import org.tenmesh.capture.links.Opener;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.runs.Arrived;
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.LineRuns;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.Watch;

/** An analyser that sends results by the frame protocol. */
public final class FrameSource implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(FrameSource.class);
    private static final String SESSION = "session";

    /** Shorter than the 15 s in which a sender wants its answer; from memory of LIS01-A2. */
    private static final Duration ANSWER_WITHIN = Duration.ofSeconds(10);

    /** A record that has its place in a run and is not known to be durable. */
    private record Pending(String record, Piece piece) {}

    private final Source source;
    private final LineRuns runs;
    private final Inbox inbox;
    private final Entrance entrance;
    private final Watch watch;
    private final Clock clock;
    private final LongSupplier nanos;
    private final Map<Character, String> above = new TreeMap<>();
    private final HeldOpen link;
    private Optional<Pending> pending = Optional.empty();

    /** @param source whose way is {@link Source.Frames} */
    public FrameSource(
            Source source,
            Opener opener,
            LineRuns runs,
            Inbox inbox,
            Entrance entrance,
            Watch watch,
            Clock clock,
            LongSupplier nanos) {
        this.source = source;
        this.runs = runs;
        this.inbox = inbox;
        this.entrance = entrance;
        this.watch = watch;
        this.clock = clock;
        this.nanos = nanos;
        link = new HeldOpen(source.name(), "receives", opener, watch, this::receive);
    }

    public void start() {
        link.start();
    }

    @Override
    public void close() {
        link.close();
        entrance.close();
        try {
            link.join(5_000);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
    }

    private void receive(Connection from) throws IOException, InterruptedException {
        FrameReceiver receiver = new FrameReceiver(new Kept());
        try {
            receive(from, receiver);
        } catch (IOException lost) {
            receiver.lost();
            throw lost;
        }
    }

    private void receive(Connection from, FrameReceiver receiver) throws IOException, InterruptedException {
        long lastByte = nanos.getAsLong();
        while (!link.isClosed()) {
            int value = from.read(Duration.ofSeconds(1));
            if (value == Connection.END) {
                if (((Source.Frames) source.way()).link() instanceof Source.Listen) {
                    receiver.lost();
                    return;
                }
                throw new IOException("the device closed the connection");
            }
            if (value == Connection.NOTHING) {
                receiver.quiet(Duration.ofNanos(nanos.getAsLong() - lastByte));
                silence();
                continue;
            }
            lastByte = nanos.getAsLong();
            Optional<Integer> answer = receiver.next(value);
            if (answer.isPresent()) {
                from.write(new byte[] {answer.get().byteValue()});
            }
        }
    }

    private void silence() throws InterruptedException {
        try {
            Optional<Piece> end = runs.silent(watch.silence(), clock.instant());
            if (end.isPresent()) {
                entrance.keep(end::get, Duration.ofDays(100_000));
            }
        } catch (Inbox.NotNow notNow) {
            LOG.debug("waiting for the store", notNow);
        }
    }

    /** Keeps records one by one, each result with the header, subject and order that it belongs to. */
    private final class Kept implements FrameReceiver.Records {
        @Override
        public boolean keep(String record) throws InterruptedException {
            if (pending.isPresent()) {
                boolean same = pending.get().record().equals(record);
                if (!kept(pending.get().piece())) {
                    return false;
                }
                if (same) {
                    return true;
                }
            }
            Optional<Piece> made;
            try {
                made = made(record.charAt(0), record);
            } catch (Inbox.NotNow notNow) {
                watch.wrong("store", "the store does not answer, and what came waits: " + notNow.getMessage());
                return false;
            }
            if (made.isEmpty()) {
                return true;
            }
            pending = Optional.of(new Pending(record, made.get()));
            return kept(made.get());
        }

        private boolean kept(Piece piece) throws InterruptedException {
            boolean kept = entrance.keep(() -> piece, ANSWER_WITHIN).isPresent();
            if (kept) {
                pending = Optional.empty();
                watch.right(SESSION);
            }
            return kept;
        }

        private Optional<Piece> made(char type, String record) {
            String whole = with(type, record);
            byte[] bytes = whole.getBytes(StandardCharsets.UTF_8);
            // The same record of the same order is the same thing sent again; what ends a message counts with its last
            // result.
            String context =
                    above.getOrDefault('O', "") + "\r" + (type == 'R' ? "" : above.getOrDefault('R', "") + "\r");
            String key = Piece.sha256((context + record).getBytes(StandardCharsets.UTF_8));
            Instant now = clock.instant();
            Arrived arrived = new Arrived(type + " " + key, record, bytes, now);
            boolean again = inbox.known(source.name(), arrived.key()).isPresent();
            if (again) {
                watch.again();
            }
            if (type == 'R') {
                Optional<Piece> piece = again ? Optional.empty() : runs.piece(arrived);
                above.put('R', record);
                return piece;
            }
            Optional<Piece> mark = again ? Optional.empty() : runs.mark(arrived);
            if (type == 'H') {
                above.clear();
            } else if (type == 'P') {
                above.remove('O');
            }
            if (type == 'H' || type == 'P' || type == 'O') {
                above.remove('R');
                above.put(type, record);
                return mark;
            }
            if (again || mark.isPresent() || type == 'L') {
                return mark;
            }
            return Optional.of(Piece.of(source.name(), arrived.key(), source.name() + ", a remark", now, bytes));
        }

        private String with(char type, String record) {
            StringBuilder whole = new StringBuilder();
            for (char one : new char[] {'H', 'P', 'O'}) {
                String text = above.get(one);
                if (text != null && type != 'H' && type != one) {
                    whole.append(text).append('\n');
                }
            }
            return whole.append(record).append('\n').toString();
        }

        @Override
        public void tell(String what) {
            watch.wrong(SESSION, what);
        }
    }
}
