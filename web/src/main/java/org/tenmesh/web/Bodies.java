package org.tenmesh.web;

import java.util.HashMap;
import java.util.Map;

/**
 * How many forms are being received at once, from one address and in all: each keeps one of the server's threads, and whoever sends slowly would
 * else keep all of them. May be used by several threads.
 */
final class Bodies {
    /** Of the server's 250 threads. */
    private static final int MOST = 100;

    /** More than a laboratory's busiest address sends within a blink. */
    private static final int MOST_FROM_ONE = 20;

    private static final long WAITS_MILLIS = 1_000;

    private final Map<String, Integer> from = new HashMap<>();
    private int all;

    /** Whether a form of this address may be received now; waits a second for its turn. */
    synchronized boolean begin(String address) {
        long until = System.nanoTime() + WAITS_MILLIS * 1_000_000;
        while (all >= MOST || from.getOrDefault(address, 0) >= MOST_FROM_ONE) {
            long left = (until - System.nanoTime()) / 1_000_000;
            if (left <= 0) {
                return false;
            }
            try {
                wait(left);
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                return false;
            }
        }
        all++;
        from.merge(address, 1, Integer::sum);
        return true;
    }

    /** It is there, or will not come. */
    synchronized void end(String address) {
        all--;
        from.computeIfPresent(address, (key, count) -> count > 1 ? count - 1 : null);
        notifyAll();
    }
}
