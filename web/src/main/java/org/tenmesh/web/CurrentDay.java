package org.tenmesh.web;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.Method;

/**
 * Keeps the newest day judged. Loading and judging happen on a thread of its own; pages take the last whole snapshot. May
 * be used by several threads.
 */
final class CurrentDay implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(CurrentDay.class);

    /** The judge. */
    interface Judge {
        JudgedDay judge(Day day, Map<String, Method> methods, EarlierSoils earlier);

        /** How one number came to be. */
        Story story(Day day, Map<String, Method> methods, Method method, Result result);
    }

    /** The judge of the house. */
    static final Judge HOUSE_JUDGE = new Judge() {
        @Override
        public JudgedDay judge(Day day, Map<String, Method> methods, EarlierSoils earlier) {
            return DayJudge.judge(day, methods, earlier);
        }

        @Override
        public Story story(Day day, Map<String, Method> methods, Method method, Result result) {
            return DayJudge.story(day, methods, method, result);
        }
    };

    private final Book book;
    private final Map<String, Method> methods;
    private final Judge judge;
    private final ScheduledExecutorService watch;

    private volatile Optional<Desk> desk = Optional.empty();
    private Optional<EarlierSoils> earlier = Optional.empty();
    private Optional<Book.Mark> mark = Optional.empty();
    private final List<Consumer<String>> followers = new CopyOnWriteArrayList<>();
    private volatile boolean closed;
    private long version;

    /**
     * Nothing is loaded yet.
     *
     * @param firstVersion where versions start; another one at every start, so that a page from before a restart is told
     */
    CurrentDay(Book book, Map<String, Method> methods, Judge judge, long firstVersion) {
        this.version = firstVersion;
        this.book = book;
        this.methods = methods;
        this.judge = judge;
        this.watch = Executors.newSingleThreadScheduledExecutor(task -> {
            Thread thread = new Thread(task, "current-day");
            thread.setDaemon(true);
            return thread;
        });
    }

    /** Loads the newest day now, then looks for changes every second. */
    void start() {
        look();
        watch.scheduleWithFixedDelay(this::lookQuietly, 1, 1, TimeUnit.SECONDS);
        // Now and then everybody is told although nothing changed: a browser that went away shows only when written to.
        watch.scheduleWithFixedDelay(this::tell, 20, 20, TimeUnit.SECONDS);
    }

    Judge judge() {
        return judge;
    }

    /** The last whole snapshot. */
    Optional<Desk> desk() {
        return desk;
    }

    /** The word by which a page knows the day it was drawn from. */
    String word() {
        return desk.map(f -> Long.toString(f.version())).orElse("0");
    }

    /** Calls with the word now and after every change, on a thread of its own, until {@link #leave}. */
    void follow(Consumer<String> follower) {
        if (closed) {
            return;
        }
        followers.add(follower);
        later(() -> tell(follower));
    }

    void leave(Consumer<String> follower) {
        followers.remove(follower);
    }

    private void tell() {
        later(() -> followers.forEach(this::tell));
    }

    private void later(Runnable task) {
        try {
            watch.execute(task);
        } catch (RejectedExecutionException e) {
            // Stopped meanwhile: nobody is left to be told.
            followers.clear();
        }
    }

    private void tell(Consumer<String> follower) {
        if (closed) {
            return;
        }
        try {
            follower.accept(word());
        } catch (RuntimeException e) {
            LOG.debug("a page that listened is gone", e);
            followers.remove(follower);
        }
    }

    /** Takes in what people did since: actions and releases. */
    synchronized void renew() {
        desk.ifPresent(f -> {
            version++;
            desk = Optional.of(f.with(version, book.releases(f.name()), book.actions(f.name())));
            tell();
        });
    }

    private synchronized void look() {
        Optional<Book.Mark> newest = book.newestDay();
        if (newest.isEmpty() || newest.equals(mark)) {
            return;
        }
        String name = newest.get().day();
        long began = System.nanoTime();
        Day day = book.day(name).with(book.history(name));
        if (earlier.isEmpty() || mark.isEmpty() || !mark.get().day().equals(name)) {
            // What earlier days found does not change while one goes on.
            earlier = Optional.of(book.earlierSoils(name));
        }
        JudgedDay judged = judge.judge(day, methods, earlier.orElse(EarlierSoils.NONE));
        version++;
        desk = Optional.of(new Desk(name, version, day, judged, methods, book.releases(name), book.actions(name)));
        mark = newest;
        tell();
        String digest = newest.get().digest();
        later(() -> keep(name, digest, judged));
        LOG.info(
                "day {} loaded and judged in {} ms: {} results, {} causes",
                name,
                (System.nanoTime() - began) / 1_000_000,
                judged.results().size(),
                judged.causes().size());
    }

    // Kept for later days, whose charts learn from it. Pages do not wait for it, and it is made again whenever it is
    // missing.
    private void keep(String name, String digest, JudgedDay judged) {
        if (closed) {
            return;
        }
        try {
            book.keep(name, digest, judged);
        } catch (RuntimeException e) {
            LOG.warn("what was judged of day {} could not be kept; charts of later days will lack it", name, e);
        }
    }

    private void lookQuietly() {
        try {
            look();
        } catch (RuntimeException e) {
            LOG.warn("the newest day could not be loaded; pages go on with the one before", e);
        }
    }

    @Override
    public void close() {
        // Pages are let go first: one that was still written to, or came back, filled the log with its broken
        // connection.
        closed = true;
        followers.clear();
        // A page that is being written to is let finish: an interrupted write breaks its connection.
        watch.shutdown();
        try {
            if (!watch.awaitTermination(3, TimeUnit.SECONDS)) {
                watch.shutdownNow();
            }
        } catch (InterruptedException interrupted) {
            watch.shutdownNow();
            Thread.currentThread().interrupt();
        }
    }
}
