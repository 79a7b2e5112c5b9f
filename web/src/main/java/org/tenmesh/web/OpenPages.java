package org.tenmesh.web;

import io.javalin.http.Context;
import io.javalin.http.sse.SseHandler;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import java.util.function.Predicate;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.LivePage;
import org.tenmesh.web.days.LiveRuns;

/** Pages that stay open and are told when something changed. */
final class OpenPages implements AutoCloseable {
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
        new SseHandler(client -> {
                    client.keepAlive();
                    AtomicLong asked = new AtomicLong(System.nanoTime());
                    LivePage page = new LivePage(
                            writers,
                            () -> {
                                if (System.nanoTime() - asked.get() < SESSION_ASKED_NANOS) {
                                    return true;
                                }
                                asked.set(System.nanoTime());
                                boolean signedIn = isSession.test(token);
                                if (!signedIn) {
                                    client.close();
                                }
                                return signedIn;
                            },
                            seesVerdicts,
                            (event, data) -> {
                                if (event.isEmpty()) {
                                    client.sendEvent(data);
                                } else {
                                    client.sendEvent(event, data);
                                }
                            });
                    Consumer<String> follower = word -> page.tell("", "", word);
                    client.onClose(() -> {
                        currentDay.leave(follower);
                        liveRuns.leave(page);
                    });
                    currentDay.follow(follower);
                    liveRuns.follow(page);
                })
                .handle(ctx);
    }

    @Override
    public void close() {
        writers.shutdown();
    }
}
