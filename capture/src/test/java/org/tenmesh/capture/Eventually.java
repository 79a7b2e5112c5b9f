package org.tenmesh.capture;

import java.util.function.BooleanSupplier;

/** Waits for what other threads do. */
public final class Eventually {
    private static final long LONGEST_NANOS = 120_000_000_000L;

    private Eventually() {}

    public static void holds(String what, BooleanSupplier condition) throws InterruptedException {
        long start = System.nanoTime();
        while (!condition.getAsBoolean()) {
            if (System.nanoTime() - start > LONGEST_NANOS) {
                throw new AssertionError("after 120 s still not: " + what);
            }
            Thread.sleep(10);
        }
    }
}
