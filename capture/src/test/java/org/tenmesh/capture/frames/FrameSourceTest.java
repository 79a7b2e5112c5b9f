package org.tenmesh.capture.frames;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.Eventually;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;

class FrameSourceTest {
    @TempDir
    private Path folder;

    private final KeptInbox inbox = new KeptInbox();
    private int port;
    private Capture capture;

    @BeforeEach
    void start() throws IOException {
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        capture = begin();
    }

    private Capture begin() {
        return Capture.start(
                Sources.read(folder, """
                        sources:
                          - name: icp
                            kind: frames
                            listen: 127.0.0.1:%d
                            instrument: ICP1
                            method: mehlich3-icp
                            reader: analyser-records
                            order: none
                            run: "ICP1-{number}"
                            ends: "^L"
                        """.formatted(port)), inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());
    }

    @AfterEach
    void stop() {
        capture.close();
    }

    private static List<String> message(int samples) {
        List<String> records = new ArrayList<>(List.of("H|\\^&|||ICP1|||||LAB||P|LIS2-A2|20261125093000", "P|1"));
        for (int i = 1; i <= samples; i++) {
            records.add("O|%d|26329-%04d|%d^A1|^^^M3|R||20261125080000".formatted(i, i, i));
            records.add("R|1|^^^P 213.618|%d.5|cps||N||F||OP7||202611250930%02d|ICP1".formatted(1000 + i, i));
        }
        records.add("L|1|N");
        return records;
    }

    @Test
    void takesAMessage() throws Exception {
        assertThat(new FrameSender(port).send(message(3))).isZero();
        assertThat(inbox.values("ICP1-1")).containsExactly(1001.5, 1002.5, 1003.5);
        assertThat(inbox.stored("ICP1-1").orElseThrow().ended()).isTrue();
        assertThat(inbox.reasons()).isEmpty();
        assertThat(new String(inbox.pieces().get(0).bytes(), StandardCharsets.UTF_8))
                .startsWith("H|\\^&|||ICP1")
                .contains("\nO|1|26329-0001|")
                .endsWith("ICP1\n");
    }

    @Test
    void takesEachResultOnceWhenTheSocketIsCutInAFrameAndTheMessageComesAgain() throws Exception {
        List<String> message = message(6);
        for (int whole = 3; whole < message.size(); whole += 2) {
            new FrameSender(port).cutInside(message, whole);
        }
        new FrameSender(port).send(message);
        assertThat(inbox.values("ICP1-1")).containsExactly(1001.5, 1002.5, 1003.5, 1004.5, 1005.5, 1006.5);
        new FrameSender(port).send(message);
        assertThat(inbox.values("ICP1-1")).hasSize(6);
        assertThat(inbox.runs()).containsExactly("ICP1-1");
        assertThat(inbox.reasons()).isEmpty();
        assertThat(capture.states().get(0).keptBefore()).isPositive();
    }

    @Test
    void acknowledgesNothingWhileTheStoreIsGoneAndLosesNothing() throws Exception {
        inbox.gone(true);
        Thread back = new Thread(() -> {
            try {
                Thread.sleep(1_500);
            } catch (InterruptedException stop) {
                return;
            }
            assertThat(inbox.pieces()).isEmpty();
            inbox.gone(false);
        });
        back.start();
        // The store does not answer at once: frames are refused until it does, or the sender begins again.
        boolean sent = false;
        for (int i = 0; i < 50 && !sent; i++) {
            try {
                new FrameSender(port).send(message(2));
                sent = true;
            } catch (IOException givenUp) {
                Thread.sleep(100);
            }
        }
        back.join();
        assertThat(sent).isTrue();
        assertThat(inbox.values("ICP1-1")).containsExactly(1001.5, 1002.5);
    }

    @Test
    void takesOnceWhatWasStoredWithoutAnAnswerBeforeTheProgramWasKilled() throws Exception {
        inbox.loseAnswers(1);
        List<String> message = message(2);
        new FrameSender(port).cutInside(message, 3);
        capture.close();
        capture = begin();
        new FrameSender(port).send(message);
        assertThat(inbox.values("ICP1-1")).containsExactly(1001.5, 1002.5);
    }

    @Test
    void aResultWithoutItsOrderIsSetAsideAndTold() throws Exception {
        new FrameSender(port).send(List.of("H|\\^&", "P|1", "R|1|^^^P 213.618|7|cps||N||F||||20261125093012"));
        assertThat(inbox.reasons()).hasSize(1);
        assertThat(inbox.reasons().get(0)).contains("a result (R) without its order");
        Eventually.holds("told", () -> capture.states().get(0).setAside() == 1);
    }
}
