package org.tenmesh.store.live;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.function.Consumer;
import org.jdbi.v3.core.Jdbi;
import org.postgresql.PGConnection;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.store.journal.Journal;

/**
 * Follows the journal: tells of every new entry, whichever server wrote it, in the order of the journal and each once. The database says when
 * there is one; what it did not say, because the connection was lost or the message was, is found within a second, because the journal is asked
 * for what is new then in any case.
 */
public final class Following implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Following.class);
    private static final int ASKS_MILLIS = 1_000;

    private final Jdbi app;
    private final Connecting connecting;
    private final Consumer<List<Entry>> follower;
    private final Thread thread;
    private volatile boolean closed;
    private volatile boolean listens;
    private long last;

    /** Opens a connection that nobody else uses. */
    public interface Connecting {
        Connection connect() throws SQLException;
    }

    /**
     * One entry of the journal.
     *
     * @param seq its number
     * @param what what happened, such as {@code day-taken}
     * @param subject what it happened to
     */
    public record Entry(long seq, String what, String subject) {}

    /**
     * Begins with what is written after this moment.
     *
     * @param follower called on a thread of its own; what it throws is logged
     */
    public Following(Jdbi app, Connecting connecting, Consumer<List<Entry>> follower) {
        this.app = app;
        this.connecting = connecting;
        this.follower = follower;
        last = newest(app);
        thread = new Thread(this::follow, "follows-journal");
        thread.setDaemon(true);
        thread.start();
    }

    /** Number of the newest entry, 0 before the first. */
    public static long newest(Jdbi app) {
        return app.withHandle(handle -> handle.createQuery("select seq from journal.head")
                .mapTo(Long.class)
                .one());
    }

    /** Whether the database tells at this moment; otherwise new entries are found by asking. */
    public boolean listens() {
        return listens;
    }

    private void follow() {
        while (!closed) {
            try (Connection connection = connecting.connect();
                    Statement statement = connection.createStatement()) {
                statement.execute("listen " + Journal.CHANNEL);
                listens = true;
                PGConnection told = connection.unwrap(PGConnection.class);
                while (!closed) {
                    tell();
                    told.getNotifications(ASKS_MILLIS);
                }
            } catch (SQLException | RuntimeException e) {
                if (!closed) {
                    LOG.warn("the database does not tell of changes at this moment; it is asked every second", e);
                }
            }
            listens = false;
            // Without its messages too: the pool may have a connection before this thread has one.
            tellQuietly();
            pause();
        }
    }

    private void tellQuietly() {
        try {
            tell();
        } catch (RuntimeException e) {
            LOG.debug("the journal cannot be asked at this moment", e);
        }
    }

    private void tell() {
        List<Entry> fresh = app.withHandle(handle -> handle.createQuery(
                        "select seq, what, subject from journal.entry where seq > :last order by seq")
                .bind("last", last)
                .map((row, context) -> new Entry(row.getLong("seq"), row.getString("what"), row.getString("subject")))
                .list());
        if (fresh.isEmpty() || closed) {
            return;
        }
        last = fresh.get(fresh.size() - 1).seq();
        try {
            follower.accept(fresh);
        } catch (RuntimeException e) {
            LOG.error("what follows from journal entries up to {} could not be done", last, e);
        }
    }

    private void pause() {
        try {
            if (!closed) {
                Thread.sleep(ASKS_MILLIS);
            }
        } catch (InterruptedException interrupted) {
            Thread.currentThread().interrupt();
        }
    }

    /** Tells nothing more. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }
}
