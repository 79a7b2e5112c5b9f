package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.net.CookieManager;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** From the recorder of an oven, over a TCP line and by a folder, to the record of the charge that is under way and its page. */
final class RecorderDbTest {
    private static final String NAME = "R. Quill";
    private static final String OVEN = "Oven 2";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    private final HttpClient client =
            HttpClient.newBuilder().cookieHandler(new CookieManager()).build();

    @Test
    void whatComesIsInTheRecordOnceThroughARestartAndAGapIsShown() throws Exception {
        MethodBook methods = MethodFiles.shipped();
        LocalDate today = LocalDate.now(ZoneOffset.UTC);
        Day day = Simulator.simulate(Scenario.of(41, 24, today)).day();
        Instant start = Instant.now().truncatedTo(ChronoUnit.SECONDS).minus(Duration.ofMinutes(40));
        Files.createDirectories(folder.resolve("oven"));
        int port;
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        Path file = Files.writeString(folder.resolve("capture.yaml"), """
                sources:
                  - {name: line, kind: lines, recorder_of: %s, listen: "127.0.0.1:%d", reply: ok}
                  - {name: files, kind: folder, recorder_of: %s, folder: oven, taken: leave, quiet_seconds: 0, look_seconds: 1}
                """.formatted(OVEN, port, OVEN));
        CaptureSettings settings = CaptureFile.read(file, methods.ids()::contains);
        assertThat(settings.problems()).isEmpty();
        // Twelve minutes, nothing for eleven, seventeen more; the limit allows ten without a reading.
        List<Charge.Point> first = points(start, 0, 12);
        List<Charge.Point> second = points(start, 23, 40);
        try (Store store = EmptyStore.open(folder.resolve("database"))) {
            store.take(day.withRuns(List.of()), today, "0".repeat(64), "test");
            store.people()
                    .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("four words do well")), "test");
            InventedPapers.sign(store, day, "P. Officer", "D. Dock", today, Instant.now());
            Signed<Permit> permit = store.papers().signedPermits().get(0);
            store.charges()
                    .open(
                            new Charge(
                                    "C1",
                                    OVEN,
                                    permit.name(),
                                    permit.version(),
                                    permit.paper().treatments().get(0),
                                    List.of("middle", "door"),
                                    0.5,
                                    NAME,
                                    start),
                            today);
            String parcel = store.ledger()
                    .receive(
                            new LedgerBook.Received(
                                    "first",
                                    "SUB-1",
                                    Origin.written(Optional.of("BR"), List.of("east")),
                                    "an invented list",
                                    permit,
                                    OptionalLong.of(1480),
                                    3,
                                    "dry",
                                    "dock"),
                            today,
                            NAME,
                            start)
                    .code();
            store.charges().load("C1", List.of(parcel), NAME, start);
            try (Capture capture = start(settings, store)) {
                assertThat(capture.recorders()).hasSize(2);
                send(port, first);
                assertThat(store.charges().charge("C1").orElseThrow().points()).isEqualTo(first);
            }
            // The recorder sends what it still has after the program starts again; its file has the same readings.
            try (Capture capture = start(settings, store);
                    Server server = Server.start(
                            ServerSettings.local(0),
                            store,
                            methods,
                            Clock.systemUTC(),
                            Optional.of(capture),
                            Optional.empty())) {
                signIn(server);
                for (String page : List.of("/today", "/regulated", "/regulated/charges/C1")) {
                    assertThat(get(server.address().resolve(page)))
                            .as(page)
                            .contains("The recorder of Oven 2 has sent nothing since ");
                }
                List<Charge.Point> all = new ArrayList<>(first);
                all.addAll(second);
                send(port, all);
                Files.writeString(folder.resolve("oven/day.csv"), text(all));
                waitUntil(() -> store.arrivals().newest("files", 5).size() == 1);
                assertThat(store.charges().charge("C1").orElseThrow().points()).isEqualTo(all);
                for (String page : List.of("/today", "/regulated", "/regulated/charges/C1")) {
                    assertThat(get(server.address().resolve(page))).as(page).doesNotContain("has sent nothing");
                }
                assertThat(get(server.address().resolve("/regulated/charges/C1")))
                        .contains("Source line, files records Oven 2")
                        .contains("Newest reading of each sensor")
                        .contains("The coldest sensor, door, reached 124.5")
                        .contains("No reading of any sensor from")
                        .contains("(11 min): this time does not count")
                        .contains("17 min");
            }
            assertThat(store.verifyJournal().firstBroken()).isEmpty();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
    }

    private Capture start(CaptureSettings settings, Store store) {
        return Capture.start(settings, new StoredInbox(store), Clock.systemUTC(), ZoneOffset.UTC, List.of(folder));
    }

    private static List<Charge.Point> points(Instant start, int from, int to) {
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = from; minute <= to; minute++) {
            Instant at = start.plus(Duration.ofMinutes(minute));
            points.add(new Charge.Point(at, "middle", 131));
            points.add(new Charge.Point(at, "door", 125));
        }
        return points;
    }

    private static String text(List<Charge.Point> points) {
        StringBuilder text = new StringBuilder();
        points.forEach(one -> text.append(one.at() + "; " + one.sensor() + "; " + one.celsius())
                .append('\n'));
        return text.toString();
    }

    /** Returns when every line is answered: it is durable then. */
    private static void send(int port, List<Charge.Point> points) throws Exception {
        for (int tries = 0; ; tries++) {
            try (Socket recorder = new Socket(InetAddress.getLoopbackAddress(), port);
                    BufferedReader answers = new BufferedReader(
                            new InputStreamReader(recorder.getInputStream(), StandardCharsets.US_ASCII))) {
                recorder.getOutputStream().write(text(points).getBytes(StandardCharsets.US_ASCII));
                for (int i = 0; i < points.size(); i++) {
                    assertThat(answers.readLine()).isEqualTo("ok");
                }
                return;
            } catch (java.net.ConnectException notYet) {
                if (tries > 200) {
                    throw notYet;
                }
                Thread.sleep(25);
            }
        }
    }

    private void signIn(Server server) throws Exception {
        URI link = server.oneTimeLink(NAME, Duration.ofMinutes(10));
        Matcher csrf = Pattern.compile("name=\"csrf\" value=\"([^\"]+)\"").matcher(get(link));
        assertThat(csrf.find()).isTrue();
        client.send(
                HttpRequest.newBuilder(link)
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .POST(HttpRequest.BodyPublishers.ofString("csrf=" + csrf.group(1)))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private String get(URI address) throws Exception {
        return client.send(HttpRequest.newBuilder(address).build(), HttpResponse.BodyHandlers.ofString())
                .body();
    }

    private static void waitUntil(java.util.function.BooleanSupplier holds) throws InterruptedException {
        long start = System.nanoTime();
        while (!holds.getAsBoolean()) {
            assertThat(System.nanoTime() - start).as("waited").isLessThan(30_000_000_000L);
            Thread.sleep(20);
        }
    }
}
