package org.tenmesh.web;

import io.javalin.http.Context;
import jakarta.servlet.AsyncContext;
import jakarta.servlet.AsyncEvent;
import jakarta.servlet.AsyncListener;
import jakarta.servlet.ServletOutputStream;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.CompletableFuture;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * An answer that stays open and to which events are written (server-sent events, WHATWG HTML Living Standard, section 9.2). When it has ended
 * nothing touches its request and response again: the container uses both for the next request of the connection. May be used by several threads.
 */
final class HeldAnswer implements AsyncListener {
    private static final Logger LOG = LoggerFactory.getLogger(HeldAnswer.class);

    private final AsyncContext async;
    private final ServletOutputStream out;
    private boolean over;
    private Runnable whenEnded = () -> {};

    private HeldAnswer(AsyncContext async, ServletOutputStream out) {
        this.async = async;
        this.out = out;
    }

    /** Holds the answer to a request open; its head leaves with the first event. */
    static HeldAnswer hold(Context ctx) {
        HttpServletResponse response = ctx.res();
        response.setStatus(200);
        response.setCharacterEncoding("UTF-8");
        response.setContentType("text/event-stream");
        response.addHeader("Connection", "close");
        response.addHeader("Cache-Control", "no-cache");
        // A proxy in between shall not collect what is written.
        response.addHeader("X-Accel-Buffering", "no");
        AsyncContext async = ctx.req().startAsync();
        async.setTimeout(0);
        HeldAnswer answer = new HeldAnswer(async, stream(response));
        async.addListener(answer);
        // The framework is told that the answer comes later, and never that it came: it would handle a request that the
        // container has taken back.
        ctx.future(CompletableFuture::new);
        return answer;
    }

    private static ServletOutputStream stream(HttpServletResponse response) {
        try {
            return response.getOutputStream();
        } catch (IOException gone) {
            throw new UncheckedIOException(gone);
        }
    }

    /** Is called once the answer has ended, by whom ever; at once when it has. */
    void whenEnded(Runnable then) {
        synchronized (this) {
            if (!over) {
                whenEnded = then;
                return;
            }
        }
        then.run();
    }

    /**
     * Writes one event, or ends the answer when the browser is gone.
     *
     * @param event name of the event; empty text for the usual one
     * @param data lines of text
     */
    void send(String event, String data) {
        StringBuilder text = new StringBuilder(data.length() + 64);
        text.append("event: ").append(event.isEmpty() ? "message" : event).append('\n');
        data.lines().forEach(line -> text.append("data: ").append(line).append('\n'));
        text.append('\n');
        synchronized (this) {
            if (over) {
                return;
            }
            try {
                out.write(text.toString().getBytes(StandardCharsets.UTF_8));
                out.flush();
                return;
            } catch (IOException | IllegalStateException gone) {
                LOG.debug("a page that listened is gone", gone);
            }
        }
        end();
    }

    /** Ends the answer; the browser may ask again. */
    void end() {
        ended();
        try {
            async.complete();
        } catch (IllegalStateException already) {
            LOG.debug("an answer had ended already", already);
        }
    }

    /** Waits for who writes at this moment: from here on the container may use the response for another request. */
    private void ended() {
        Runnable then;
        synchronized (this) {
            over = true;
            then = whenEnded;
            whenEnded = () -> {};
        }
        then.run();
    }

    @Override
    public void onComplete(AsyncEvent event) {
        ended();
    }

    @Override
    public void onTimeout(AsyncEvent event) {
        end();
    }

    @Override
    public void onError(AsyncEvent event) {
        end();
    }

    @Override
    public void onStartAsync(AsyncEvent event) {}
}
