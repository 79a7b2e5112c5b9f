package org.tenmesh.capture.recorder;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.Eventually;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.custody.Charge;

class RecorderTest {
    @TempDir
    private Path folder;

    private final KeptInbox inbox = new KeptInbox();
    private final Instant now = Instant.now().truncatedTo(ChronoUnit.SECONDS);
    private Capture capture = Capture.start(CaptureSettings.NONE, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());

    @AfterEach
    void stop() {
        capture.close();
    }

    private void start(String yaml) {
        CaptureSettings settings = Sources.read(folder, yaml);
        assertThat(settings.problems()).isEmpty();
        capture = Capture.start(settings, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());
    }

    private List<Charge.Point> points() {
        return inbox.pieces().stream()
                .flatMap(piece -> piece.temperatures().stream())
                .flatMap(some -> some.points().stream())
                .toList();
    }

    private static String line(Charge.Point point) {
        return point.at() + "; " + point.sensor() + "; " + point.celsius() + "\n";
    }

    @Test
    void answersALineWhenItIsDurableAndNotBefore() throws Exception {
        int port;
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        start("""
                sources:
                  - {name: oven-2, kind: lines, recorder_of: Oven 2, listen: "127.0.0.1:%d", reply: ok}
                """.formatted(port));
        assertThat(capture.recorders()).extracting(Source::instrument).containsExactly("Oven 2");
        Charge.Point first = new Charge.Point(now, "door", 121.5);
        Charge.Point second = new Charge.Point(now.plusSeconds(10), "middle", 130.25);
        inbox.gone(true);
        try (Socket recorder = connected(port);
                BufferedReader answers = new BufferedReader(
                        new InputStreamReader(recorder.getInputStream(), StandardCharsets.US_ASCII))) {
            recorder.getOutputStream()
                    .write((line(first) + "# a remark\n" + line(second)).getBytes(StandardCharsets.US_ASCII));
            Eventually.holds(
                    "it says that the store does not answer",
                    () -> !capture.states().get(0).wrong().isEmpty());
            assertThat(answers.ready()).isFalse();
            assertThat(points()).isEmpty();
            // The store keeps the next piece, and its answer is lost: it is asked again and keeps nothing twice.
            inbox.loseAnswers(1);
            inbox.gone(false);
            for (int i = 0; i < 3; i++) {
                assertThat(answers.readLine()).isEqualTo("ok");
            }
        }
        assertThat(points()).containsExactly(first, second);
        assertThat(inbox.pieces()).allSatisfy(piece -> {
            assertThat(piece.parts()).isEmpty();
            assertThat(piece.temperatures().orElseThrow().device()).isEqualTo("Oven 2");
        });
    }

    private static Socket connected(int port) throws IOException, InterruptedException {
        for (int i = 0; ; i++) {
            try {
                return new Socket(InetAddress.getLoopbackAddress(), port);
            } catch (IOException notYet) {
                if (i > 200) {
                    throw notYet;
                }
                Thread.sleep(25);
            }
        }
    }

    @Test
    void setsAsideWhatItCannotReadWhatIsCutAndWhatTheDeviceCannotHaveMeasuredYet() throws Exception {
        Files.createDirectories(folder.resolve("oven"));
        start("""
                sources:
                  - {name: oven-2, kind: folder, recorder_of: Oven 2, folder: oven, quiet_seconds: 0, look_seconds: 1, clock_seconds: 60}
                """);
        Charge.Point right = new Charge.Point(now.minusSeconds(60), "door", 121.5);
        put("right.csv", line(right));
        put("words.csv", line(right) + "hot\n");
        put("cut.csv", line(right) + "2026-11-25 08:30; door; 12");
        put("ahead.csv", line(right) + line(new Charge.Point(now.plusSeconds(600), "door", 122)));
        put("empty.csv", "time; sensor; C\n");
        Eventually.holds("five pieces", () -> inbox.pieces().size() == 5);
        assertThat(points()).containsExactly(right);
        assertThat(inbox.reasons())
                .hasSize(4)
                .anyMatch(why -> why.startsWith("Line 2, \"hot\": there are 1 fields"))
                .anyMatch(why -> why.startsWith("its last line has no line break"))
                .anyMatch(why -> why.contains("expected none from later than 60 s after it came"))
                .anyMatch(why -> why.startsWith("nothing was read"));
    }

    private void put(String name, String text) throws IOException {
        Path part = Files.writeString(folder.resolve(name + ".part"), text);
        Files.move(part, folder.resolve("oven").resolve(name));
    }

    @Test
    void aRecorderHasLinesOrAFolderAndNoMethod() {
        assertThat(Sources.read(folder, """
                        sources:
                          - {name: a, kind: http, recorder_of: Oven 2}
                          - {name: b, kind: lines, recorder_of: Oven 2, connect: "127.0.0.1:4", method: ph-water-1-1}
                          - {name: c, kind: lines, recorder_of: Oven 2, connect: "127.0.0.1:4"}
                        """).problems())
                .extracting(problem -> problem.sentence())
                .anyMatch(one -> one.contains("lines or folder"))
                .anyMatch(one -> one.contains("method"));
        assertThat(Sources.read(
                                folder,
                                "sources: [{name: c, kind: lines, recorder_of: Oven 2, connect: \"127.0.0.1:4\"}]")
                        .sources())
                .hasSize(1);
    }
}
