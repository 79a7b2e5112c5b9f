package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import io.javalin.Javalin;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.eclipse.jetty.server.ServerConnector;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Answers that stay open over true sockets: who writes to one always comes back, whatever became of the browser or the server. */
class HeldAnswerTest {
    private static final int IDLE_MS = 2_000;

    private final BlockingQueue<HeldAnswer> held = new LinkedBlockingQueue<>();
    private final CompletableFuture<Void> ended = new CompletableFuture<>();
    private final Javalin server = Javalin.create(config -> {
        config.startup.showJavalinBanner = false;
        config.jetty.addConnector((jetty, http) -> {
            ServerConnector connector = new ServerConnector(jetty);
            connector.setHost("127.0.0.1");
            connector.setIdleTimeout(IDLE_MS);
            return connector;
        });
        config.routes.get("/live", ctx -> {
            HeldAnswer answer = HeldAnswer.hold(ctx);
            answer.whenEnded(() -> ended.complete(null));
            held.add(answer);
        });
    });
    private Socket browser = new Socket();

    @BeforeEach
    void listen() throws IOException {
        server.start();
        browser = new Socket(InetAddress.getByName("127.0.0.1"), server.port());
        browser.setSoTimeout(10_000);
        browser.getOutputStream()
                .write("GET /live HTTP/1.1\r\nHost: localhost\r\nAccept: text/event-stream\r\n\r\n"
                        .getBytes(StandardCharsets.US_ASCII));
    }

    @AfterEach
    void stop() throws IOException {
        browser.close();
        server.stop();
    }

    @Test
    void tellsEventsLineByLineThroughQuietTimes() throws Exception {
        HeldAnswer answer = answer();
        answer.send("", "first");
        Thread.sleep(2 * IDLE_MS);
        answer.send("run", "two\nlines");
        answer.end();
        String all = new String(browser.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(all)
                .startsWith("HTTP/1.1 200 OK")
                .containsIgnoringCase("content-type: text/event-stream")
                .contains("event: message\ndata: first\n\n")
                .contains("event: run\ndata: two\ndata: lines\n\n");
        ended.get(10, TimeUnit.SECONDS);
    }

    @Test
    void isOverForABrowserThatReadsNoMore() throws Exception {
        HeldAnswer answer = answer();
        CompletableFuture<Void> writer = CompletableFuture.runAsync(() -> {
            String much = "x".repeat(1_000_000);
            for (int i = 0; i < 40; i++) {
                answer.send("", much);
            }
        });
        ended.get(20, TimeUnit.SECONDS);
        writer.get(20, TimeUnit.SECONDS);
    }

    @Test
    void isOverForABrowserThatIsKilled() throws Exception {
        HeldAnswer answer = answer();
        answer.send("", "first");
        InputStream in = browser.getInputStream();
        assertThat(in.read()).isPositive();
        browser.setSoLinger(true, 0);
        browser.close();
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
        while (!ended.isDone() && System.nanoTime() < end) {
            answer.send("", "more");
            Thread.sleep(10);
        }
        ended.get(1, TimeUnit.SECONDS);
    }

    /** A writer that comes late to a stopped server would keep it from stopping. */
    @Test
    void isOverOnceTheServerStops() throws Exception {
        HeldAnswer answer = answer();
        answer.send("", "first");
        server.stop();
        CompletableFuture<Void> late = CompletableFuture.runAsync(() -> {
            answer.send("", "late");
            answer.end();
        });
        late.get(20, TimeUnit.SECONDS);
        ended.get(20, TimeUnit.SECONDS);
    }

    private HeldAnswer answer() throws InterruptedException {
        HeldAnswer answer = held.poll(10, TimeUnit.SECONDS);
        if (answer == null) {
            throw new AssertionError("nobody asked");
        }
        return answer;
    }
}
