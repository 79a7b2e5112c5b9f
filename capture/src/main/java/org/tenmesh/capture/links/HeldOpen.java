package org.tenmesh.capture.links;

import java.io.IOException;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.state.Watch;

/**
 * Holds the connection with a device open on a thread of its own: what is lost is opened again, after pauses that grow to fifteen seconds,
 * and the state of the link is told as it is.
 */
public final class HeldOpen implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(HeldOpen.class);
    private static final String LINK = "link";
    private static final long FIRST_PAUSE_MS = 500;
    private static final long LONGEST_PAUSE_MS = 15_000;

    /** What is done with a connection until it ends. */
    @FunctionalInterface
    public interface Talk {
        /** @throws IOException when the connection is lost */
        void with(Connection one) throws IOException, InterruptedException;
    }

    private final String source;
    private final Opener opener;
    private final Watch watch;
    private final Talk talk;
    private final Thread thread;
    private volatile boolean closed;
    private volatile boolean leaving;
    private volatile @Nullable Connection connection;

    /**
     * Begins with {@link #start}.
     *
     * @param source name of the source, for the log
     * @param does what the thread does, in one word, for its name
     */
    public HeldOpen(String source, String does, Opener opener, Watch watch, Talk talk) {
        this.source = source;
        this.opener = opener;
        this.watch = watch;
        this.talk = talk;
        thread = new Thread(this::hold, source + " " + does);
        thread.setDaemon(true);
    }

    public void start() {
        thread.start();
    }

    public boolean isClosed() {
        return closed;
    }

    /** Whether something of the device may still come. */
    public boolean isAlive() {
        return thread.isAlive();
    }

    /** Takes no new connection; the talk goes on until it {@link #isLeaving} and ends by itself. */
    public void leave() {
        leaving = true;
        opener.close();
    }

    /** Whether what has come is to be read to its end, and nothing after it. */
    public boolean isLeaving() {
        return leaving;
    }

    /** Closes the connection; the thread ends soon after. */
    @Override
    public void close() {
        closed = true;
        opener.close();
        Connection now = connection;
        if (now != null) {
            now.close();
        }
        thread.interrupt();
    }

    /** Waits for the end of the thread. */
    public void join(long millis) throws InterruptedException {
        thread.join(millis);
    }

    private void hold() {
        long pause = FIRST_PAUSE_MS;
        while (!closed && !leaving) {
            watch.says(opener.waits());
            try (Connection one = opener.open()) {
                connection = one;
                watch.right(LINK);
                watch.says("connected with " + one.peer());
                pause = FIRST_PAUSE_MS;
                talk.with(one);
            } catch (IOException lost) {
                if (!closed && !leaving) {
                    watch.wrong(LINK, "no connection: " + lost.getMessage() + "; it is tried again");
                }
            } catch (InterruptedException stop) {
                return;
            } catch (RuntimeException failed) {
                LOG.error("source {} failed and begins again", source, failed);
                watch.wrong(LINK, "something failed inside the program; it is tried again");
            } finally {
                connection = null;
            }
            try {
                if (!closed && !leaving) {
                    Thread.sleep(pause);
                }
            } catch (InterruptedException stop) {
                return;
            }
            pause = Math.min(2 * pause, LONGEST_PAUSE_MS);
        }
    }
}
