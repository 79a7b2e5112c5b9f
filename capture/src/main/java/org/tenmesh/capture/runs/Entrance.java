package org.tenmesh.capture.runs;

import java.time.Duration;
import java.util.Optional;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.state.Watch;

/**
 * The one way from a source into the inbox. It answers when a piece is durable; while the store does not answer it asks again with the same
 * piece, and whoever sends waits.
 */
public final class Entrance {
    private static final Logger LOG = LoggerFactory.getLogger(Entrance.class);
    private static final String STORE = "store";
    private static final long FIRST_WAIT_MS = 100;
    private static final long LONGEST_WAIT_MS = 5_000;

    private final Inbox inbox;
    private final Watch watch;
    private final LongSupplier nanos;
    private volatile boolean closed;

    public Entrance(Inbox inbox, Watch watch, LongSupplier nanos) {
        this.inbox = inbox;
        this.watch = watch;
        this.nanos = nanos;
    }

    /** Ends every wait: what is not durable then stays with its sender. */
    public void close() {
        closed = true;
    }

    public boolean isClosed() {
        return closed;
    }

    /**
     * Keeps a piece. What the inbox refuses is kept again as set aside, with the reason.
     *
     * @param piece makes it; asks the inbox itself, so it may have to be made again
     * @param limit how long to go on asking
     * @return the piece as it was kept; empty when the time is over and it is not known to be durable
     * @throws InterruptedException when the thread is to stop
     */
    public Optional<Piece> keep(Supplier<Piece> piece, Duration limit) throws InterruptedException {
        long start = nanos.getAsLong();
        long wait = FIRST_WAIT_MS;
        Optional<Piece> made = Optional.empty();
        while (true) {
            try {
                Piece one = made.isPresent() ? made.get() : piece.get();
                made = Optional.of(one);
                Inbox.Answer answer = inbox.take(one);
                watch.right(STORE);
                if (answer instanceof Inbox.Refused refused) {
                    made = Optional.of(one.aside(refused.why()));
                    if (one.setAside().isPresent()) {
                        throw new IllegalStateException("the inbox refuses what is set aside: " + refused.why());
                    }
                    continue;
                }
                watch.kept(one, answer instanceof Inbox.KeptBefore);
                return made;
            } catch (Inbox.NotNow notNow) {
                watch.wrong(STORE, "the store does not answer, and what came waits: " + notNow.getMessage());
                LOG.debug("waiting for the store", notNow);
            }
            long left = limit.toMillis() - (nanos.getAsLong() - start) / 1_000_000;
            if (closed || left <= 0) {
                return Optional.empty();
            }
            Thread.sleep(Math.min(wait, left));
            wait = Math.min(2 * wait, LONGEST_WAIT_MS);
        }
    }
}
