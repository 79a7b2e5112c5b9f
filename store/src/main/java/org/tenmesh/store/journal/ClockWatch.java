package org.tenmesh.store.journal;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.rows.Json;

/**
 * Compares the server's clock with a counter that nobody can set, and with the clock of the database. What is found goes to the journal
 * and is told until it is right again. May be used by several threads.
 */
public final class ClockWatch implements AutoCloseable {
    /** What is written when the clock moved otherwise than time went on. */
    public static final String JUMPED = "clock-jumped";

    /** What is written when the clocks of the server and of the database begin to differ. */
    public static final String DIFFERS = "clock-differs";

    private static final String PROGRAM = "Tenmesh";
    private static final String SUBJECT = "clock";
    private static final long LOOKS_S = 10;
    /** Clocks are corrected by less than this all the time. */
    private static final Duration STEPS = Duration.ofSeconds(5);

    private static final Duration TOLD = Duration.ofHours(24);

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    /** One look at a time. Never taken by those who ask: a look waits for the store, and pages do not wait for a look. */
    private final Object looking = new Object();

    private final List<Jump> jumps = new ArrayList<>();
    private final Deque<Jump> unwritten = new ArrayDeque<>();
    private volatile LongSupplier nanos = System::nanoTime;
    private Optional<ScheduledExecutorService> thread = Optional.empty();
    private Instant said;
    private long saidNanos;
    private Duration ahead = Duration.ZERO;
    private boolean differenceWritten;
    private boolean failing;

    /** One step of the clock, which said {@code before} and {@code after} it; where nothing had happened they would differ by less. */
    private record Jump(Duration by, Instant before, Instant after, long atNanos) {}

    public ClockWatch(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.said = clock.instant();
    }

    /**
     * Looks now, and every ten seconds until it is closed.
     *
     * @param counter grows with time in nanoseconds whatever the clock does, such as {@code System::nanoTime}
     * @param trouble told when looks begin to fail; the next look is made all the same
     */
    public void begin(LongSupplier counter, Consumer<RuntimeException> trouble) {
        ScheduledExecutorService looks = Executors.newSingleThreadScheduledExecutor(work -> {
            Thread one = new Thread(work, "clock");
            one.setDaemon(true);
            return one;
        });
        synchronized (this) {
            nanos = counter;
            said = clock.instant();
            saidNanos = counter.getAsLong();
            thread = Optional.of(looks);
        }
        look();
        looks.scheduleWithFixedDelay(() -> lookAgain(trouble), LOOKS_S, LOOKS_S, TimeUnit.SECONDS);
    }

    private void lookAgain(Consumer<RuntimeException> trouble) {
        try {
            look();
            failing = false;
        } catch (RuntimeException failed) {
            if (!failing) {
                trouble.accept(failed);
            }
            failing = true;
        }
    }

    /** Compares the clocks now, where it was begun. What the store does not take is written at the next look. */
    public void look() {
        synchronized (looking) {
            Optional<Instant> now = step();
            if (now.isEmpty()) {
                return;
            }
            for (Optional<Jump> next = unwritten(); next.isPresent(); next = unwritten()) {
                Jump jump = next.get();
                journal.note(
                        now.get(),
                        PROGRAM,
                        JUMPED,
                        SUBJECT,
                        Json.object(
                                "seconds", seconds(jump.by()),
                                "clock-said-before", jump.before().toString(),
                                "clock-says", jump.after().toString()));
                written(jump);
            }
            compareWithDatabase();
        }
    }

    /** What the clock says now, after a jump was kept; empty where it was not begun or is closed. */
    private synchronized Optional<Instant> step() {
        if (thread.isEmpty()) {
            return Optional.empty();
        }
        Instant now = clock.instant();
        long nowNanos = nanos.getAsLong();
        Duration by = Duration.between(said, now).minusNanos(nowNanos - saidNanos);
        if (by.abs().compareTo(STEPS) > 0) {
            Jump jump = new Jump(by, said, now, nowNanos);
            jumps.add(jump);
            unwritten.add(jump);
        }
        jumps.removeIf(jump -> nowNanos - jump.atNanos() >= TOLD.toNanos());
        said = now;
        saidNanos = nowNanos;
        return Optional.of(now);
    }

    private synchronized Optional<Jump> unwritten() {
        return Optional.ofNullable(unwritten.peek());
    }

    private synchronized void written(Jump jump) {
        unwritten.remove(jump);
    }

    /** The database reads its clock between question and answer: only what lies outside of that is a difference. */
    private void compareWithDatabase() {
        Instant asked = clock.instant();
        long askedNanos = nanos.getAsLong();
        Instant its = app.withHandle(handle -> handle.createQuery("select clock_timestamp()")
                        .mapTo(OffsetDateTime.class)
                        .one())
                .toInstant();
        Duration since = Duration.between(its, asked);
        Duration until = since.plusNanos(nanos.getAsLong() - askedNanos);
        Duration found = !since.isNegative() ? since : until.isNegative() ? until : Duration.ZERO;
        if (!differs(found)) {
            differenceWritten = false;
        } else if (!differenceWritten) {
            journal.note(
                    asked,
                    PROGRAM,
                    DIFFERS,
                    SUBJECT,
                    Json.object(
                            "server-ahead-seconds", seconds(found),
                            "server-says", asked.toString(),
                            "database-says", its.toString()));
            differenceWritten = true;
        }
    }

    /** Keeps what was found, and says whether the clocks differ by it. */
    private synchronized boolean differs(Duration found) {
        ahead = found;
        return differs();
    }

    private boolean differs() {
        return ahead.abs().compareTo(STEPS) > 0;
    }

    private List<Jump> lately() {
        long now = nanos.getAsLong();
        return jumps.stream()
                .filter(jump -> now - jump.atNanos() < TOLD.toNanos())
                .toList();
    }

    /** What is wrong with the clock, or was in the last 24 hours: one sentence each, without its point. */
    public synchronized List<String> told() {
        List<String> told = new ArrayList<>();
        if (differs()) {
            told.add("the server's clock is " + words(ahead.abs()) + (ahead.isNegative() ? " behind" : " ahead of")
                    + " the database's: set them right");
        }
        long now = nanos.getAsLong();
        for (Jump jump : lately()) {
            String how = jump.by().isNegative() ? " back" : " forward, or the machine stood still,";
            told.add("the server's clock was set" + how + " by "
                    + words(jump.by().abs()) + " "
                    + words(Duration.ofNanos(now - jump.atNanos()))
                    + " ago: times that it wrote before and after do not fit together");
        }
        return told;
    }

    /**
     * Why nothing should be done that rests on today's date and cannot be undone; empty when nothing speaks against it. A clock that was set
     * forward and back by the same is right again.
     */
    public synchronized Optional<String> doubt() {
        Duration moved = lately().stream().map(Jump::by).reduce(Duration.ZERO, Duration::plus);
        if (!differs() && moved.abs().compareTo(STEPS) <= 0) {
            return Optional.empty();
        }
        return Optional.of(
                differs()
                        ? "the clocks of the server and of the database differ by " + words(ahead.abs())
                                + "; set them right first"
                        : "the server's clock was moved by " + words(moved.abs())
                                + "; see that its date and time are right, then start the program again");
    }

    private static String words(Duration time) {
        long s = seconds(time);
        if (s < 120) {
            return s + " s";
        }
        return s < 7_200
                ? rounded(s, 60) + " min"
                : s < 172_800 ? rounded(s, 3_600) + " h" : rounded(s, 86_400) + " days";
    }

    private static long rounded(long s, long unitS) {
        return (s + unitS / 2) / unitS;
    }

    private static long seconds(Duration time) {
        return Math.round(time.toMillis() / 1000.0);
    }

    /** Looks no more. */
    @Override
    public synchronized void close() {
        thread.ifPresent(ScheduledExecutorService::shutdownNow);
        thread = Optional.empty();
    }
}
