package org.tenmesh.store;

import java.time.Duration;
import java.util.concurrent.Callable;

/** Waits for something that comes true by itself. */
final class Eventually {
    private Eventually() {}

    /** Asks again and again until the answer is yes; fails with the last exception when it never is. */
    static void within(Duration most, Callable<Boolean> question) throws Exception {
        long end = System.nanoTime() + most.toNanos();
        while (true) {
            Exception last = new IllegalStateException("the answer was no");
            try {
                if (question.call()) {
                    return;
                }
            } catch (Exception e) {
                last = e;
            }
            if (System.nanoTime() > end) {
                throw new AssertionError("did not come true within " + most, last);
            }
            Thread.sleep(5);
        }
    }
}
