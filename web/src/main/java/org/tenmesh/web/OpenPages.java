package org.tenmesh.web;

import io.javalin.http.Context;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import java.util.function.Predicate;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.LivePage;
import org.tenmesh.web.days.LiveRuns;

/** Pages that stay open and are told when something changed. */
final class OpenPages implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(OpenPages.class);
    private static final int MOST_WRITERS = 16;
    /** How long a page may still be told after its session has ended. */
    private static final long SESSION_ASKED_NANOS = TimeUnit.SECONDS.toNanos(1);

    private final CurrentDay currentDay;
    private final LiveRuns liveRuns;
    private final Predicate<String> isSession;
    /** Open pages are written to here, so that one that reads slowly keeps only itself waiting. */
    private final ThreadPoolExecutor writers =
            new ThreadPoolExecutor(4, MOST_WRITERS, 30, TimeUnit.SECONDS, new LinkedBlockingQueue<>(10_000));

    /** @param isSession whether a token is still that of a session */
    OpenPages(CurrentDay currentDay, LiveRuns liveRuns, Predicate<String> isSession) {
        this.currentDay = currentDay;
        this.liveRuns = liveRuns;
        this.isSession = isSession;
    }

    /** Answers with the word of the day's version, once or, to a browser that listens, whenever it changes. */
    void listen(Context ctx, boolean seesVerdicts, String token) {
        String accept = ctx.header("Accept");
        if (accept == null || !accept.contains("text/event-stream")) {
            ctx.contentType("text/plain; charset=utf-8").result(currentDay.versionToken());
            return;
        }
        SessionAsked session = new SessionAsked(token);
        HeldAnswer answer = HeldAnswer.hold(ctx);
        LivePage page = new LivePage(
                writers,
                () -> {
                    boolean signedIn = session.stays();
                    if (!signedIn) {
                        answer.end();
                    }
                    return signedIn;
                },
                seesVerdicts,
                answer::send);
        Consumer<String> follower = word -> page.tell("", "", word);
        currentDay.follow(follower);
        liveRuns.follow(page);
        answer.whenEnded(() -> {
            currentDay.leave(follower);
            liveRuns.leave(page);
        });
    }

    /** What is known of the session of a page: it is asked again beside what the page is told, so that no reading waits for the answer. */
    private final class SessionAsked {
        private final String token;
        private final AtomicLong asked = new AtomicLong(System.nanoTime());
        private final AtomicBoolean asking = new AtomicBoolean();
        private volatile boolean signedIn = true;

        SessionAsked(String token) {
            this.token = token;
        }

        boolean stays() {
            long since = System.nanoTime() - asked.get();
            if (since >= SESSION_ASKED_NANOS) {
                ask();
            } else if (since >= SESSION_ASKED_NANOS / 2 && asking.compareAndSet(false, true)) {
                try {
                    writers.execute(this::askBeside);
                } catch (RejectedExecutionException full) {
                    asking.set(false);
                }
            }
            return signedIn;
        }

        private void askBeside() {
            try {
                ask();
            } catch (RuntimeException failed) {
                // What the page is told next asks, and is not sent without an answer.
                LOG.debug("the session of an open page could not be asked", failed);
            } finally {
                asking.set(false);
            }
        }

        private void ask() {
            long now = System.nanoTime();
            signedIn = isSession.test(token);
            asked.set(now);
        }
    }

    @Override
    public void close() {
        writers.shutdown();
    }
}
