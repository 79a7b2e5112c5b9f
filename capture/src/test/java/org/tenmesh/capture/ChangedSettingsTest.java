package org.tenmesh.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;

/** Settings that are changed while sources work. */
final class ChangedSettingsTest {
    private static final int POSITIONS = 400;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    private final KeptInbox inbox = new KeptInbox();
    private final int[] ports = new int[3];
    private Capture capture = Capture.start(CaptureSettings.NONE, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of());

    @BeforeEach
    void begin() throws IOException {
        for (int i = 0; i < ports.length; i++) {
            try (ServerSocket free = new ServerSocket(0)) {
                ports[i] = free.getLocalPort();
            }
            inbox.order(new RunOrder(
                    "PH" + i + "-01",
                    "ph-water-1-1",
                    "PH" + i,
                    OffsetDateTime.parse("2026-11-25T07:00:00Z"),
                    IntStream.rangeClosed(1, POSITIONS)
                            .mapToObj(p -> new RunOrder.Place(p, Role.SAMPLE, "26329-%04d".formatted(p)))
                            .toList()));
        }
        write(source(0, ""));
        capture = Capture.start(
                () -> CaptureFile.read(folder.resolve("capture.yaml"), "ph-water-1-1"::equals),
                inbox,
                Clock.systemUTC(),
                ZoneOffset.UTC,
                List.of());
        assertThat(capture.problems()).isEmpty();
    }

    @AfterEach
    void end() {
        capture.close();
    }

    private String source(int number, String more) {
        return "  - {name: meter-%d, kind: lines, listen: \"127.0.0.1:%d\", instrument: PH%d, method: ph-water-1-1, reader: meter-lines%s}\n"
                .formatted(number, ports[number], number, more);
    }

    private void write(String sources) throws IOException {
        Files.writeString(folder.resolve("capture.yaml"), "free_megabytes: 1\nsources:\n" + sources);
    }

    private Socket connected(int number) throws Exception {
        for (int i = 0; ; i++) {
            try {
                return new Socket(InetAddress.getLoopbackAddress(), ports[number]);
            } catch (IOException notYet) {
                assertThat(i).as("tries to connect").isLessThan(400);
                Thread.sleep(25);
            }
        }
    }

    private static void send(Socket to, int from, int until) throws IOException {
        StringBuilder lines = new StringBuilder();
        for (int position = from; position <= until; position++) {
            lines.append("#%d probe 1 pH %d.5 25.0 C\n".formatted(position, position % 10));
        }
        to.getOutputStream().write(lines.toString().getBytes(StandardCharsets.US_ASCII));
        to.getOutputStream().flush();
    }

    private List<Double> expected(int until) {
        return IntStream.rangeClosed(1, until)
                .boxed()
                .flatMap(position -> List.of(position % 10 + 0.5, 25.0).stream())
                .toList();
    }

    @Test
    void aSourceIsAddedAndAnotherTakenOutWhileOneIsUnderLoad() throws Exception {
        AtomicBoolean failed = new AtomicBoolean();
        try (Socket under = connected(0)) {
            Thread load = new Thread(() -> {
                try {
                    for (int position = 1; position <= POSITIONS; position++) {
                        send(under, position, position);
                        Thread.sleep(2);
                    }
                } catch (IOException | InterruptedException lost) {
                    failed.set(true);
                }
            });
            load.start();
            write(source(0, "") + source(1, ""));
            Capture.Applied added = (Capture.Applied) capture.apply("T. Sedge");
            assertThat(added.added()).containsExactly("meter-1");
            assertThat(added.changed()).isEmpty();
            assertThat(added.removed()).isEmpty();
            try (Socket fresh = connected(1)) {
                send(fresh, 1, 100);
                Eventually.holds(
                        "all of the new one", () -> inbox.values("PH1-01").size() == 200);
                send(fresh, 101, 200);
                // What it took is stored before it ends; what has come and was not read is read.
                write(source(0, "") + source(2, ""));
                Capture.Applied removed = (Capture.Applied) capture.apply("T. Sedge");
                assertThat(removed.removed()).containsExactly("meter-1");
                assertThat(removed.added()).containsExactly("meter-2");
                assertThat(removed.storing()).isEmpty();
                assertThat(removed.unended()).containsExactly("PH1-01");
                assertThat(inbox.values("PH1-01")).isEqualTo(expected(200));
                assertThat(fresh.getInputStream().read())
                        .as("its connection is closed")
                        .isEqualTo(-1);
            }
            load.join();
            assertThat(failed).as("the connection under load was kept").isFalse();
            Eventually.holds(
                    "all of the one under load",
                    () -> inbox.stored("PH0-01").filter(KeptInbox.Stored::ended).isPresent());
        }
        assertThat(inbox.values("PH0-01"))
                .as("nothing lost, nothing twice, in order")
                .isEqualTo(expected(POSITIONS));
        assertThat(inbox.reasons()).isEmpty();
        assertThat(inbox.notes())
                .hasSize(2)
                .allSatisfy(note -> assertThat(note).startsWith("T. Sedge: capture-changed capture.yaml"));
        assertThat(capture.states()).extracting(state -> state.source()).containsExactly("meter-0", "meter-2");
        assertThat(capture.warnings()).isEmpty();
    }

    @Test
    void aMistakeChangesNothingAndSaysLineAndReason() throws Exception {
        try (Socket under = connected(0)) {
            send(under, 1, 1);
            Eventually.holds("the first", () -> inbox.values("PH0-01").size() == 2);
            write(source(1, "") + source(2, ", queue: many"));
            Capture.Settings refused = capture.apply("T. Sedge");
            assertThat(refused).isInstanceOf(Capture.Mistaken.class);
            assertThat(((Capture.Mistaken) refused).problems())
                    .singleElement()
                    .asString()
                    .contains("capture.yaml, line 4", "\"many\"", "a whole number");
            assertThat(capture.states()).extracting(state -> state.source()).containsExactly("meter-0");
            assertThat(inbox.notes()).isEmpty();
            assertThat(capture.warnings()).anyMatch(one -> one.contains("was changed after the program read it"));
            Files.delete(folder.resolve("capture.yaml"));
            assertThat(capture.apply("T. Sedge")).isInstanceOf(Capture.Mistaken.class);
            send(under, 2, 2);
            Eventually.holds("the second", () -> inbox.values("PH0-01").size() == 4);
        }
    }

    @Test
    void onlyWhatIsWrittenOtherwiseBeginsAnew() throws Exception {
        try (Socket under = connected(0)) {
            send(under, 1, 1);
            Eventually.holds("the first", () -> inbox.values("PH0-01").size() == 2);
            // The same in another order and layout, and one with another setting.
            Files.writeString(folder.resolve("capture.yaml"), """
                    free_megabytes: 1
                    sources:
                      - kind: lines
                        name: meter-0
                        reader: 'meter-lines'
                        method: ph-water-1-1
                        instrument: PH0
                        listen: 127.0.0.1:%d
                    """.formatted(ports[0]));
            Capture.Applied same = (Capture.Applied) capture.apply("T. Sedge");
            assertThat(List.of(same.added(), same.changed(), same.removed())).allMatch(List::isEmpty);
            assertThat(inbox.notes()).isEmpty();
            send(under, 2, 2);
            Eventually.holds("the second", () -> inbox.values("PH0-01").size() == 4);

            write(source(0, ", reply: OK"));
            assertThat(((Capture.Applied) capture.apply("T. Sedge")).changed()).containsExactly("meter-0");
            try (Socket again = connected(0)) {
                send(again, 3, 3);
                assertThat(again.getInputStream().readNBytes(3)).isEqualTo("OK\n".getBytes(StandardCharsets.US_ASCII));
            }
            assertThat(inbox.values("PH0-01")).isEqualTo(expected(3));
        }
    }

    @Test
    void whatWasTakenIsStoredWhenTheStoreIsBackAndOnlyThenTheChangedOneBegins() throws Exception {
        try (Socket meter = connected(0)) {
            send(meter, 1, 1);
            Eventually.holds("the first", () -> inbox.values("PH0-01").size() == 2);
            inbox.goneForTaking(true);
            send(meter, 2, 40);
            write(source(0, ", reply: OK"));
            Capture.Applied applied = (Capture.Applied) capture.apply("T. Sedge");
            assertThat(applied.storing()).containsExactly("meter-0");
            assertThat(capture.warnings())
                    .anyMatch(one -> one.contains("meter-0 was taken out or changed and still stores"));
            inbox.goneForTaking(false);
            try (Socket again = connected(0)) {
                send(again, 41, 41);
                assertThat(again.getInputStream().readNBytes(3)).hasSize(3);
            }
            assertThat(inbox.values("PH0-01")).isEqualTo(expected(41));
        }
        assertThat(inbox.reasons()).isEmpty();
        assertThat(capture.warnings()).isEmpty();
    }

    @Test
    void withoutTheJournalNothingIsChanged() throws Exception {
        write(source(0, "") + source(1, ""));
        inbox.gone(true);
        assertThatThrownBy(() -> capture.apply("T. Sedge")).isInstanceOf(Inbox.NotNow.class);
        assertThat(capture.states()).hasSize(1);
        inbox.gone(false);
        assertThat(capture.apply("T. Sedge")).isInstanceOf(Capture.Applied.class);
        assertThat(capture.states()).hasSize(2);
    }
}
