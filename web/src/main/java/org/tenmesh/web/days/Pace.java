package org.tenmesh.web.days;

import java.util.concurrent.TimeUnit;

/**
 * How often the whole day is judged again while readings arrive: never twice at once, and never more than a part of the time, so that readings
 * wait for nothing that the day does. What arrived meanwhile is judged with what comes next. For one thread.
 */
final class Pace {
    private static final long SHORTEST_NANOS = TimeUnit.SECONDS.toNanos(3);
    /** Of the time that readings arrive, the day takes at most one part in so many. */
    private static final int PARTS = 4;

    private long judged = -1;
    private long endedNanos;
    private long tookNanos;

    /**
     * Whether the day is judged again now.
     *
     * @param newest number of the newest readings
     */
    boolean isDue(long newest) {
        return newest != judged && System.nanoTime() - endedNanos > Math.max(SHORTEST_NANOS, (PARTS - 1) * tookNanos);
    }

    /** The day was judged with all readings up to a number. */
    void judged(long newest, long beganNanos) {
        judged = newest;
        endedNanos = System.nanoTime();
        tookNanos = endedNanos - beganNanos;
    }

    boolean hasJudged(long newest) {
        return newest == judged;
    }
}
