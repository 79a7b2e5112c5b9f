package org.tenmesh.web.days;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.Executor;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.BooleanSupplier;

/**
 * One open page that is told of changes. What it was not told yet is replaced by what is newer of the same: a slow page misses steps between and
 * keeps nobody waiting. May be used by several threads.
 */
public final class LivePage {
    /** Writes to the page; throws when it is gone. */
    public interface Writing {
        void of(String event, String data);
    }

    private final Writing writing;
    private final BooleanSupplier stays;
    private final Executor writers;
    private final boolean seesVerdicts;
    private final Map<String, String[]> waiting = new LinkedHashMap<>();
    private boolean busy;
    private boolean gone;

    /**
     * @param writers on whose threads the page is written to
     * @param stays asked before each writing whether the page may still be told
     * @param seesVerdicts whether its reader may see results
     */
    public LivePage(Executor writers, BooleanSupplier stays, boolean seesVerdicts, Writing writing) {
        this.writers = writers;
        this.stays = stays;
        this.seesVerdicts = seesVerdicts;
        this.writing = writing;
    }

    boolean seesVerdicts() {
        return seesVerdicts;
    }

    /**
     * Tells the page, later and on another thread.
     *
     * @param about what of the page changes: newer text about the same takes the place of older
     */
    public void tell(String event, String about, String data) {
        synchronized (this) {
            if (gone) {
                return;
            }
            waiting.put(event + " " + about, new String[] {event, data});
            if (busy) {
                return;
            }
            busy = true;
        }
        try {
            writers.execute(this::write);
        } catch (RejectedExecutionException e) {
            // So many pages cannot be written to at this moment; this one is told with the next change.
            synchronized (this) {
                busy = false;
            }
        }
    }

    private void write() {
        while (true) {
            String[] next;
            synchronized (this) {
                var first = waiting.entrySet().iterator();
                if (gone || !first.hasNext()) {
                    busy = false;
                    return;
                }
                next = first.next().getValue();
                first.remove();
            }
            try {
                if (!stays.getAsBoolean()) {
                    leave();
                } else {
                    writing.of(next[0], next[1]);
                }
            } catch (RuntimeException e) {
                leave();
            }
        }
    }

    /** Tells nothing more. */
    public synchronized void leave() {
        gone = true;
        waiting.clear();
    }

    synchronized boolean isGone() {
        return gone;
    }
}
