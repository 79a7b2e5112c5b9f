package org.tenmesh.capture.lines;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.Eventually;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;
import org.tenmesh.capture.state.SourceState;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;

class LineSourceTest {
    private static final String METER = """
            sources:
              - name: meter
                kind: lines
                instrument: PH1
                method: ph-water-1-1
                reader: meter-lines
            """;

    @TempDir
    private Path folder;

    private final KeptInbox inbox = new KeptInbox();
    private int port;
    private Capture capture = Capture.start(
            org.tenmesh.capture.settings.CaptureSettings.NONE, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());

    @BeforeEach
    void order() throws IOException {
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
    }

    @AfterEach
    void stop() {
        capture.close();
    }

    private static RunOrder ordered(String name, int positions) {
        return new RunOrder(
                name,
                "ph-water-1-1",
                "PH1",
                OffsetDateTime.parse("2026-11-25T07:00:00Z"),
                IntStream.rangeClosed(1, positions)
                        .mapToObj(i -> new RunOrder.Place(i, Role.SAMPLE, "26329-%04d".formatted(i)))
                        .toList());
    }

    private void listen(String more) {
        start(METER + "    listen: 127.0.0.1:" + port + "\n" + more);
    }

    private void start(String yaml) {
        var settings = Sources.read(folder, yaml);
        assertThat(settings.problems()).isEmpty();
        capture = Capture.start(settings, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());
    }

    private SourceState state() {
        return capture.states().get(0);
    }

    private Socket connected() throws IOException, InterruptedException {
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

    private static String line(int vessel) {
        return "#%d probe 1 pH %d.5 25.0 C\n".formatted(vessel, vessel % 10);
    }

    private static void send(Socket to, String text) throws IOException {
        OutputStream out = to.getOutputStream();
        out.write(text.getBytes(StandardCharsets.US_ASCII));
        out.flush();
    }

    @Test
    void putsLinesIntoTheRunThatWasOrderedAndEndsItWithItsLastPosition() throws Exception {
        inbox.order(ordered("PH1-01", 3));
        listen("");
        try (Socket meter = connected()) {
            send(meter, line(1) + "! rinsed\n" + line(2));
            Eventually.holds("two positions", () -> inbox.values("PH1-01").size() == 4);
            assertThat(inbox.stored("PH1-01").orElseThrow().ended()).isFalse();
            Eventually.holds("state", () -> state().positions() == 2);
            assertThat(state().run()).contains("PH1-01");
            send(meter, line(3));
            Eventually.holds(
                    "the end", () -> inbox.stored("PH1-01").orElseThrow().ended());
        }
        assertThat(inbox.values("PH1-01")).containsExactly(1.5, 25.0, 2.5, 25.0, 3.5, 25.0);
        assertThat(inbox.stored("PH1-01").orElseThrow().run().readings().identity(4))
                .isEqualTo("26329-0003");
        assertThat(inbox.reasons()).isEmpty();
    }

    @Test
    void setsAsideWhatNoOrderHasAndAsksAmongSeveralOrders() throws Exception {
        inbox.order(ordered("PH1-01", 2));
        inbox.order(ordered("PH1-02", 2));
        listen("");
        try (Socket meter = connected()) {
            send(meter, line(1));
            Eventually.holds("set aside", () -> inbox.reasons().size() == 1);
            assertThat(inbox.reasons().get(0))
                    .contains("several run orders wait for PH1 (PH1-01, PH1-02)")
                    .contains("which one begins");
            capture.begin("meter", "PH1-02", "T. Sedge");
            assertThat(inbox.notes()).containsExactly("T. Sedge: run-order-chosen meter {order=PH1-02}");
            send(meter, line(1));
            Eventually.holds("begun", () -> inbox.values("PH1-02").size() == 2);
            send(meter, line(9));
            Eventually.holds("set aside", () -> inbox.reasons().size() == 2);
            assertThat(inbox.reasons().get(1)).contains("a position of run order PH1-02, which has 2");
            send(meter, "garbage\n");
            Eventually.holds("set aside", () -> inbox.reasons().size() == 3);
            send(meter, line(2));
            Eventually.holds(
                    "the end", () -> inbox.stored("PH1-02").orElseThrow().ended());
        }
        assertThat(inbox.values("PH1-01")).isEmpty();
    }

    @Test
    void goesOnWithTheRunUnderWayAfterTheProgramWasStopped() throws Exception {
        inbox.order(ordered("PH1-01", 3));
        listen("");
        try (Socket meter = connected()) {
            send(meter, line(1));
            Eventually.holds("one", () -> inbox.values("PH1-01").size() == 2);
        }
        capture.close();
        listen("");
        try (Socket meter = connected()) {
            send(meter, line(2) + line(3));
            Eventually.holds(
                    "the end", () -> inbox.stored("PH1-01").orElseThrow().ended());
        }
        assertThat(inbox.values("PH1-01")).hasSize(6);
        assertThat(inbox.runs()).containsExactly("PH1-01");
    }

    @Test
    void makesAFastSenderWaitWhileTheStoreIsGoneAndLosesNothing() throws Exception {
        int lines = 20_000;
        inbox.order(ordered("PH1-01", lines));
        inbox.gone(true);
        listen("    queue: 50\n");
        try (Socket meter = connected()) {
            meter.setSendBufferSize(4_096);
            Thread sender = new Thread(() -> {
                try {
                    for (int i = 1; i <= lines; i += 100) {
                        StringBuilder some = new StringBuilder();
                        for (int j = i; j < i + 100; j++) {
                            some.append(line(j));
                        }
                        send(meter, some.toString());
                    }
                } catch (IOException failed) {
                    throw new IllegalStateException(failed);
                }
            });
            sender.start();
            Eventually.holds("the queue is full", () -> state().queued() == 50);
            sender.join(1_500);
            assertThat(sender.isAlive()).as("the sender waits").isTrue();
            assertThat(state().wrong().toString()).contains("the queue is full").contains("the store does not answer");
            assertThat(inbox.pieces()).isEmpty();
            inbox.gone(false);
            sender.join(20_000);
            Eventually.holds(
                    "everything",
                    () -> inbox.stored("PH1-01").filter(run -> run.ended()).isPresent());
        }
        assertThat(inbox.values("PH1-01")).hasSize(2 * lines);
        assertThat(inbox.reasons()).isEmpty();
        assertThat(state().wrong()).noneMatch(sentence -> sentence.contains("store"));
    }

    @Test
    void repliesToALineWhenItIsStored() throws Exception {
        inbox.order(ordered("PH1-01", 3));
        listen("    reply: OK\n");
        try (Socket meter = connected()) {
            meter.setSoTimeout(10_000);
            send(meter, line(1) + line(2));
            assertThat(new String(meter.getInputStream().readNBytes(6), StandardCharsets.US_ASCII))
                    .isEqualTo("OK\nOK\n");
            assertThat(inbox.values("PH1-01")).hasSize(4);
        }
    }

    @Test
    void keepsWhatCameOfALineWhenTheConnectionIsCutAndLinesThatHaveNoEnd() throws Exception {
        inbox.order(ordered("PH1-01", 3));
        listen("    most_bytes: 40\n");
        try (Socket meter = connected()) {
            send(meter, line(1) + "#2 probe 1 p");
        }
        Eventually.holds("cut", () -> inbox.reasons().size() == 1);
        assertThat(inbox.reasons().get(0)).contains("closed in the middle of a line");
        try (Socket meter = connected()) {
            send(meter, "x".repeat(60) + "\n" + line(2));
            Eventually.holds("two", () -> inbox.values("PH1-01").size() == 4);
        }
        assertThat(inbox.reasons()).anyMatch(why -> why.contains("a line of more than 40 bytes"));
    }

    @Test
    void closesAConnectionThatIsIdleAndSaysSo() throws Exception {
        listen("    idle_seconds: 1\n");
        try (Socket meter = connected()) {
            meter.setSoTimeout(10_000);
            assertThat(meter.getInputStream().read()).isEqualTo(-1);
        }
        Eventually.holds("told", () -> state().wrong().toString().contains("nothing came for 1 s"));
    }

    @Test
    void connectsToADeviceThatIsNotThereYetAndAgainWhenItIsBack() throws Exception {
        inbox.order(ordered("PH1-01", 2));
        start(METER + "    connect: 127.0.0.1:" + port + "\n");
        Eventually.holds("told", () -> state().wrong().toString().contains("no connection"));
        for (int vessel = 1; vessel <= 2; vessel++) {
            try (ServerSocket device = new ServerSocket(port)) {
                try (Socket meter = device.accept()) {
                    send(meter, line(vessel));
                    int stored = 2 * vessel;
                    Eventually.holds("stored", () -> inbox.values("PH1-01").size() == stored);
                    Eventually.holds("right again", () -> state().wrong().isEmpty());
                }
            }
        }
    }

    @Test
    void countedPositionsAreNotCertainAfterALineThatCannotBeRead() throws Exception {
        Files.writeString(folder.resolve("counted.yaml"), """
                name: counted
                title: one pH a line
                form: lines
                decimal: point
                pattern: "(?<ph>\\\\S+)"
                position: count
                identity: order
                time: received
                values:
                  - {column: ph, quantity: pH, unit: "[pH]"}
                """);
        inbox.order(ordered("PH1-01", 4));
        start(METER.replace("meter-lines", "counted.yaml") + "    listen: 127.0.0.1:" + port + "\n");
        try (Socket meter = connected()) {
            send(meter, "5.1\n5.?\n5.3\n");
            Eventually.holds("set aside", () -> inbox.reasons().size() == 2);
            assertThat(inbox.reasons().get(1)).contains("which position comes next");
            assertThat(state().wrong().toString()).contains("not certain after position 1");
            capture.continueAt("meter", 4, "T. Sedge");
            send(meter, "5.4\n");
            Eventually.holds("stored", () -> inbox.values("PH1-01").size() == 2);
        }
        assertThat(inbox.stored("PH1-01").orElseThrow().run().readings().position(1))
                .isEqualTo(4);
        assertThat(state().wrong().toString()).doesNotContain("not certain");
    }

    @Test
    void aRunEndsWhenNothingCameForTheStatedTime() throws Exception {
        inbox.order(ordered("PH1-01", 3));
        start(METER + "    listen: 127.0.0.1:" + port + "\n    silence_seconds: 60\n");
        var source = Sources.one(folder, METER + "    listen: 127.0.0.1:" + port + "\n    silence_seconds: 60\n");
        var runs = new org.tenmesh.capture.runs.LineRuns(
                source,
                inbox,
                ZoneOffset.UTC,
                new org.tenmesh.capture.state.Watch(source, Clock.systemUTC(), System::nanoTime));
        byte[] bytes = line(1).getBytes(StandardCharsets.US_ASCII);
        inbox.take(runs.piece(new org.tenmesh.capture.runs.Arrived("1", line(1).strip(), bytes, KeptInbox.NOON))
                .orElseThrow());
        assertThat(runs.silent(Duration.ofSeconds(59), KeptInbox.NOON)).isEmpty();
        inbox.take(runs.silent(Duration.ofSeconds(60), KeptInbox.NOON).orElseThrow());
        assertThat(inbox.stored("PH1-01").orElseThrow().ended()).isTrue();
        assertThat(runs.silent(Duration.ofHours(1), KeptInbox.NOON)).isEmpty();
    }

    @Test
    void readsASerialPortThatGoesAwayAndComesBack() throws Exception {
        inbox.order(ordered("PH1-01", 2));
        Path device = folder.resolve("device");
        Path port1 = folder.resolve("port");
        for (int vessel = 1; vessel <= 2; vessel++) {
            Process pair = pseudoTerminals(device, port1);
            try {
                if (vessel == 1) {
                    start(METER + "    port: " + port1 + "\n    baud: 9600\n");
                }
                Eventually.holds(
                        "connected",
                        () -> state().says().startsWith("connected")
                                && state().wrong().isEmpty());
                try (OutputStream out = Files.newOutputStream(device)) {
                    out.write(line(vessel).getBytes(StandardCharsets.US_ASCII));
                }
                int stored = 2 * vessel;
                Eventually.holds("stored", () -> inbox.values("PH1-01").size() == stored);
            } finally {
                pair.destroy();
                pair.waitFor(5, TimeUnit.SECONDS);
            }
            Eventually.holds("gone", () -> !state().wrong().isEmpty());
        }
        assertThat(inbox.reasons()).isEmpty();
    }

    /** Two ends of an invented serial line; skipped where the machine has no program that makes them. */
    private static Process pseudoTerminals(Path one, Path other) throws Exception {
        List<String> command =
                new ArrayList<>(List.of("socat", "pty,raw,echo=0,link=" + one, "pty,raw,echo=0,link=" + other));
        Process made;
        try {
            made = new ProcessBuilder(command).redirectErrorStream(true).start();
        } catch (IOException absent) {
            Assumptions.abort("no program that makes pseudo terminals: " + absent.getMessage());
            throw absent;
        }
        Eventually.holds("two ends", () -> Files.exists(one) && Files.exists(other));
        return made;
    }
}
