package org.tenmesh.app.living;

import java.io.IOException;
import java.time.Clock;
import java.time.Duration;
import java.util.Comparator;
import java.util.PriorityQueue;
import java.util.function.Consumer;

/** Things that happen one after the other, each at its time, in a thread of their own. May be added to by any thread. */
final class Timeline implements AutoCloseable {
    private final Clock clock;
    private final double speed;
    private final Consumer<Exception> missed;
    private final Thread thread;
    private final PriorityQueue<Moment> moments =
            new PriorityQueue<>(Comparator.comparingLong(Moment::atMillis).thenComparingLong(Moment::order));
    private long order;
    private long startMillis;
    private volatile boolean closed;

    /** Something that happens at a time, in milliseconds from the start. */
    private record Moment(long atMillis, long order, Deed deed) {}

    /** What happens then. */
    interface Deed {
        void happen() throws IOException, InterruptedException;
    }

    /**
     * @param speed how many times faster than told everything happens
     * @param missed is told of what failed; the rest goes on
     */
    Timeline(String name, Clock clock, double speed, Consumer<Exception> missed) {
        this.clock = clock;
        this.speed = speed;
        this.missed = missed;
        this.startMillis = clock.millis();
        this.thread = new Thread(this::play, name);
        thread.setDaemon(true);
    }

    /** Begins; times count from now on. */
    synchronized void start() {
        startMillis = clock.millis();
        thread.start();
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }

    /** Happens so long after the start, at the usual speed. */
    void at(Duration after, Deed deed) {
        add(Math.round(after.toMillis() / speed), deed);
    }

    /** Happens so long from now, at the usual speed. */
    void in(Duration fromNow, Deed deed) {
        add(nowMillis() + Math.round(fromNow.toMillis() / speed), deed);
    }

    /** Happens so many milliseconds after the start, whatever the speed. */
    synchronized void add(long atMillis, Deed deed) {
        moments.add(new Moment(atMillis, order++, deed));
        notifyAll();
    }

    /** Milliseconds since the start. */
    synchronized long nowMillis() {
        return clock.millis() - startMillis;
    }

    private void play() {
        while (!closed) {
            try {
                next().happen();
            } catch (InterruptedException stop) {
                return;
            } catch (IOException | RuntimeException failed) {
                missed.accept(failed);
            }
        }
    }

    /** Waits until something is to happen; what is added meanwhile may come first. */
    private synchronized Deed next() throws InterruptedException {
        while (true) {
            long waits = moments.isEmpty() ? 0 : moments.element().atMillis() - nowMillis();
            if (moments.isEmpty()) {
                wait();
            } else if (waits > 0) {
                wait(waits);
            } else {
                return moments.remove().deed();
            }
        }
    }
}
