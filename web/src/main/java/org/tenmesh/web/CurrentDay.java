package org.tenmesh.web;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;

/**
 * Keeps the newest day judged, and judges every earlier day once, so that later days learn from it. Loading and judging
 * happen on a thread of its own; pages take the last whole snapshot. A day that cannot be judged costs itself only: the
 * newest day that can be is shown, and {@link #notJudged()} tells of the others. May be used by several threads.
 */
final class CurrentDay implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(CurrentDay.class);
    private static final long UNREAD_WAITS_NANOS = TimeUnit.SECONDS.toNanos(30);

    /** The judge. */
    interface Judge {
        JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier);

        /** How one number came to be. */
        Story story(Day day, MethodBook methods, JudgedDay judged, Result result);
    }

    /** The judge of the house. */
    static final Judge HOUSE_JUDGE = new Judge() {
        @Override
        public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
            return DayJudge.judge(day, methods, earlier);
        }

        @Override
        public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
            return DayJudge.story(day, methods, judged, result);
        }
    };

    private final Book book;
    private final MethodBook methods;
    private final Judge judge;
    private final ScheduledExecutorService watch;

    private volatile Optional<Desk> desk = Optional.empty();
    private volatile List<NotJudged> notJudged = List.of();
    private Optional<EarlierSoils> earlier = Optional.empty();
    private Optional<Book.Mark> mark = Optional.empty();
    private List<Book.Mark> seen = List.of();
    // Whether a day could not be read: the store may answer better later, the judge will not.
    private boolean unread;
    private long tryAgainNanos;
    private final List<Consumer<String>> followers = new CopyOnWriteArrayList<>();
    private volatile boolean closed;
    private long version;

    /**
     * Nothing is loaded yet.
     *
     * @param firstVersion where versions start; another one at every start, so that a page from before a restart is told
     */
    CurrentDay(Book book, MethodBook methods, Judge judge, long firstVersion) {
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

    /**
     * Loads the newest day now, then looks for changes every second.
     *
     * @throws RuntimeException when the store does not say which days there are
     */
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

    /** The stored days that could not be judged, the one taken last first. */
    List<NotJudged> notJudged() {
        return notJudged;
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
        List<Book.Mark> days = book.days();
        boolean again = unread && System.nanoTime() - tryAgainNanos > 0;
        if (days.equals(seen) && !again) {
            return;
        }
        List<NotJudged> failed = new ArrayList<>();
        if (!again) {
            notJudged.stream()
                    .filter(f -> days.contains(new Book.Mark(f.day(), f.digest())))
                    .forEach(failed::add);
        }
        unread = false;
        // Oldest first: a day learns from those before it.
        for (int i = days.size() - 1; i > 0; i--) {
            judgeEarlier(days.get(i), failed);
        }
        boolean shown = days.stream().anyMatch(day -> failing(day, failed) ? false : show(day, failed));
        if (!shown) {
            mark = Optional.empty();
            desk = Optional.empty();
        }
        if (!failed.equals(notJudged)) {
            notJudged = days.stream()
                    .flatMap(day -> failed.stream().filter(f -> f.day().equals(day.day())))
                    .toList();
            renew();
        }
        seen = days;
    }

    private static boolean failing(Book.Mark day, List<NotJudged> failed) {
        return failed.stream().anyMatch(f -> f.day().equals(day.day()));
    }

    /** Judges a day that is not shown, when that was not yet done as it is now. */
    private void judgeEarlier(Book.Mark day, List<NotJudged> failed) {
        if (failing(day, failed) || book.judgedDigest(day.day()).equals(Optional.of(day.digest()))) {
            return;
        }
        judged(day, failed, () -> book.earlierSoils(day.day()))
                .ifPresent(made -> keep(day.day(), day.digest(), made.judged()));
    }

    /** Makes this the day that pages show; false when it cannot be judged. */
    private boolean show(Book.Mark day, List<NotJudged> failed) {
        if (mark.equals(Optional.of(day))) {
            return true;
        }
        String name = day.day();
        long began = System.nanoTime();
        Optional<Made> made = judged(day, failed, () -> {
            if (earlier.isEmpty() || mark.isEmpty() || !mark.get().day().equals(name)) {
                // What earlier days found does not change while one goes on.
                earlier = Optional.of(book.earlierSoils(name));
            }
            return earlier.orElse(EarlierSoils.NONE);
        });
        if (made.isEmpty()) {
            return false;
        }
        JudgedDay judged = made.get().judged();
        Desk drawn;
        try {
            drawn = new Desk(
                    name, version + 1, made.get().day(), judged, methods, book.releases(name), book.actions(name));
        } catch (RuntimeException e) {
            failed.add(fault(day, "laying out", e));
            return false;
        }
        version++;
        desk = Optional.of(drawn);
        mark = Optional.of(day);
        tell();
        String digest = day.digest();
        later(() -> keep(name, digest, judged));
        LOG.info(
                "day {} loaded and judged in {} ms: {} results, {} causes",
                name,
                (System.nanoTime() - began) / 1_000_000,
                judged.results().size(),
                judged.causes().size());
        return true;
    }

    private record Made(Day day, JudgedDay judged) {}

    /** Reads and judges a day; a failure is told in the log and added to {@code failed}. */
    private Optional<Made> judged(Book.Mark day, List<NotJudged> failed, Supplier<EarlierSoils> known) {
        boolean read = false;
        try {
            Day whole = book.day(day.day()).with(book.history(day.day()));
            EarlierSoils soils = known.get();
            read = true;
            return Optional.of(new Made(whole, judge.judge(whole, methods, soils)));
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            failed.add(fault(day, read ? "judging" : "reading", e));
            if (!read) {
                unread = true;
                tryAgainNanos = System.nanoTime() + UNREAD_WAITS_NANOS;
            }
            return Optional.empty();
        }
    }

    private static NotJudged fault(Book.Mark day, String doing, Throwable e) {
        String reference = Integer.toHexString(Long.hashCode(System.nanoTime()));
        LOG.error("fault {}: {} day {} failed; the day is kept", reference, doing, day.day(), e);
        String said = e.getMessage();
        return new NotJudged(
                day.day(),
                day.digest(),
                doing + " it, " + e.getClass().getSimpleName() + (said == null ? "" : ", " + said),
                reference);
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
            LOG.warn("the store does not say which days there are; pages go on with what they have", e);
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
