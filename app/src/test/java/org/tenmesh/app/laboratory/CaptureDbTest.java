package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
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
import java.nio.file.StandardCopyOption;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicReference;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.exports.Export;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** From an instrument of an invented laboratory to the page of its run: a file that is dropped, lines over TCP. */
final class CaptureDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final String NAME = "R. Quill";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    private final HttpClient client =
            HttpClient.newBuilder().cookieHandler(new CookieManager()).build();

    @Test
    void aFileAndLinesBecomeVerdictsOnPages() throws Exception {
        MethodBook methods = MethodFiles.shipped();
        Day day = Simulator.simulate(Scenario.of(41, 60, DATE)).day();
        Run plasma = run(day, "mehlich3-icp");
        Run probes = run(day, "ph-water-1-1");
        int port;
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        CaptureSettings settings = settings(port, plasma, probes, methods);
        try (Store store = EmptyStore.open(folder.resolve("database"))) {
            store.take(day.withRuns(List.of()), DATE, "0".repeat(64), "test");
            store.people()
                    .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("four words do well")), "test");
            StoredInbox inbox = new StoredInbox(store);
            try (Capture capture = Capture.start(settings, inbox, Clock.systemUTC(), ZoneOffset.UTC, List.of(folder));
                    Server server = Server.start(
                            ServerSettings.local(0),
                            store,
                            methods,
                            Clock.systemUTC(),
                            Optional.of(capture),
                            Optional.empty())) {
                signIn(server);
                drop(plasma);
                waitFor(server, "runs/" + plasma.run(), plasma.run());
                lines(port, probes);
                waitFor(server, "runs/" + probes.run(), probes.run());
                same(store, plasma);
                same(store, probes);
                assertThat(get(server, "capture?source=plasma"))
                        .contains(plasma.run() + ".csv")
                        .doesNotContain("set aside</span> ");
                // The invented day is long past; nothing else is wrong.
                assertThat(capture.wrong())
                        .singleElement()
                        .asString()
                        .startsWith("probes: its clock is")
                        .endsWith("behind this machine's");

                // A lab number that nobody gave out is a misreading, not a soil.
                String soil = labNumber(plasma);
                Files.writeString(
                        folder.resolve("drop/M3-99.csv"),
                        text(Export.PLASMA, plasma).replace(soil, "26329-9999-Z"));
                eventually(() -> Files.exists(folder.resolve("drop/set-aside/M3-99.csv")));
                assertThat(folder.resolve("drop/set-aside/M3-99.csv.reason.txt"))
                        .content()
                        .contains("lab number 26329-9999-Z");
            }
            assertThat(store.verifyJournal().firstBroken()).isEmpty();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
    }

    /** A TCP source is added on the page while another is under load: nothing is lost, nothing comes twice, both become verdicts. */
    @Test
    void aSourceIsAddedOnThePageWhileAnotherIsUnderLoad() throws Exception {
        MethodBook methods = MethodFiles.shipped();
        Day day = Simulator.simulate(Scenario.of(41, 240, DATE)).day();
        Run probes = run(day, "ph-water-1-1");
        Run buffer = day.runs().stream()
                .filter(one -> !one.run().equals(probes.run())
                        && one.readings().quantities().equals(probes.readings().quantities()))
                .findFirst()
                .orElseThrow();
        int port = freePort();
        int added = freePort();
        Files.writeString(folder.resolve("probes.yaml"), Export.PROBES.reader());
        Path file = folder.resolve("capture.yaml");
        String first = source("probes", port, probes);
        Files.writeString(file, "free_megabytes: 1\nsources:\n" + first);
        try (Store store = EmptyStore.open(folder.resolve("database"))) {
            store.take(day.withRuns(List.of()), DATE, "0".repeat(64), "test");
            store.people()
                    .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("four words do well")), "test");
            try (Capture capture = Capture.start(
                            () -> CaptureFile.read(file, methods.ids()::contains),
                            new StoredInbox(store),
                            Clock.systemUTC(),
                            ZoneOffset.UTC,
                            List.of(folder));
                    Server server = Server.start(
                            ServerSettings.local(0),
                            store,
                            methods,
                            Clock.systemUTC(),
                            Optional.of(capture),
                            Optional.empty())) {
                assertThat(capture.problems()).isEmpty();
                signIn(server);
                AtomicReference<Exception> lost = new AtomicReference<>();
                CountDownLatch half = new CountDownLatch(1);
                CountDownLatch on = new CountDownLatch(1);
                Thread load = new Thread(() -> {
                    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
                        String all = "begin " + probes.run() + "\n" + text(Export.PROBES, probes) + "end\n";
                        String[] lines = all.split("(?<=\n)");
                        for (int i = 0; i < lines.length; i++) {
                            socket.getOutputStream().write(lines[i].getBytes(StandardCharsets.UTF_8));
                            socket.getOutputStream().flush();
                            Thread.sleep(3);
                            if (i == lines.length / 2) {
                                half.countDown();
                                on.await();
                            }
                        }
                    } catch (IOException | InterruptedException failed) {
                        lost.set(failed);
                    }
                });
                load.start();
                half.await();
                Files.writeString(
                        file,
                        "free_megabytes: 1\nsources:\n" + first
                                + source("more", added, buffer).replace("^end", "^(end"));
                assertThat(applied(server)).contains("Nothing was changed", "capture.yaml, line 4", "ends");
                Files.writeString(file, "free_megabytes: 1\nsources:\n" + first + source("more", added, buffer));
                assertThat(get(server, "capture")).contains("was changed after the program read it");
                on.countDown();
                assertThat(applied(server)).contains("new: more").doesNotContain("was changed after");
                lines(added, buffer);
                same(store, buffer);
                load.join();
                assertThat(lost.get()).isNull();
                same(store, probes);
                waitFor(server, "runs/" + probes.run(), probes.run());
                assertThat(capture.states()).allSatisfy(state -> {
                    assertThat(state.setAside()).isZero();
                    assertThat(state.keptBefore()).isZero();
                });
            }
            assertThat(store.journal(200))
                    .filteredOn(entry -> entry.what().equals("capture-changed"))
                    .singleElement()
                    .satisfies(entry -> {
                        assertThat(entry.actor()).isEqualTo(NAME);
                        assertThat(entry.detail()).contains("\"added\":\"more\"");
                    });
            assertThat(store.verifyJournal().firstBroken()).isEmpty();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
    }

    private static int freePort() throws IOException {
        try (ServerSocket free = new ServerSocket(0)) {
            return free.getLocalPort();
        }
    }

    private static String source(String name, int port, Run run) {
        return "  - {name: %s, kind: lines, listen: \"127.0.0.1:%d\", instrument: %s, method: %s, reader: probes.yaml, begins: \"^begin (.+)\", ends: \"^end\", operator: %s}\n"
                .formatted(
                        name,
                        port,
                        run.instrument(),
                        run.method(),
                        run.operator().orElseThrow());
    }

    /** What the page says when the settings are read again. */
    private String applied(Server server) throws Exception {
        Matcher csrf = Pattern.compile("name=\"csrf\" value=\"([^\"]+)\"").matcher(get(server, "capture"));
        assertThat(csrf.find()).isTrue();
        return client.send(
                        HttpRequest.newBuilder(server.address().resolve("/capture/apply"))
                                .header("Content-Type", "application/x-www-form-urlencoded")
                                .POST(HttpRequest.BodyPublishers.ofString("csrf=" + csrf.group(1)))
                                .build(),
                        HttpResponse.BodyHandlers.ofString())
                .body();
    }

    private CaptureSettings settings(int port, Run plasma, Run probes, MethodBook methods) throws IOException {
        Files.createDirectories(folder.resolve("drop"));
        Files.writeString(folder.resolve("plasma.yaml"), Export.PLASMA.reader());
        Files.writeString(folder.resolve("probes.yaml"), Export.PROBES.reader());
        Path file = Files.writeString(folder.resolve("capture.yaml"), """
                free_megabytes: 1
                sources:
                  - {name: plasma, kind: folder, folder: drop, files: "*.csv", quiet_seconds: 1, instrument: %s, method: mehlich3-icp, reader: plasma.yaml, operator: %s}
                  - {name: probes, kind: lines, listen: "127.0.0.1:%d", instrument: %s, method: ph-water-1-1, reader: probes.yaml, begins: "^begin (.+)", ends: "^end", operator: %s}
                """.formatted(
                        plasma.instrument(),
                        plasma.operator().orElseThrow(),
                        port,
                        probes.instrument(),
                        probes.operator().orElseThrow()));
        CaptureSettings settings = CaptureFile.read(file, methods.ids()::contains);
        assertThat(settings.problems()).isEmpty();
        return settings;
    }

    private static Run run(Day day, String method) {
        return day.runs().stream()
                .filter(one -> one.method().equals(method))
                .findFirst()
                .orElseThrow();
    }

    private static String labNumber(Run run) {
        Readings readings = run.readings();
        return readings.identities().stream()
                .filter(name -> name.startsWith("26329-"))
                .findFirst()
                .orElseThrow();
    }

    private static String text(Export export, Run run) {
        List<String> all = new ArrayList<>(export.head(run.readings()));
        all.addAll(export.rows(run.readings()));
        return String.join("\n", all) + "\n";
    }

    private void drop(Run run) throws IOException {
        Path part = Files.writeString(folder.resolve("drop/" + run.run() + ".csv.part"), text(Export.PLASMA, run));
        Files.move(part, folder.resolve("drop/" + run.run() + ".csv"), StandardCopyOption.ATOMIC_MOVE);
    }

    private static void lines(int port, Run run) throws IOException {
        try (Socket probes = new Socket(InetAddress.getLoopbackAddress(), port)) {
            String all = "begin " + run.run() + "\n" + text(Export.PROBES, run) + "end\n";
            probes.getOutputStream().write(all.getBytes(StandardCharsets.UTF_8));
            probes.getOutputStream().flush();
        }
    }

    /** The day as it is stored has the run as the instrument read it; rows of a position may stand in another order. */
    private static void same(Store store, Run run) throws Exception {
        eventually(() -> store.day(DATE.toString()).orElseThrow().runs().stream()
                .anyMatch(one -> one.run().equals(run.run())
                        && !one.underWay()
                        && one.readings().size() == run.readings().size()));
        Run stored = store.day(DATE.toString()).orElseThrow().runs().stream()
                .filter(one -> one.run().equals(run.run()))
                .findFirst()
                .orElseThrow();
        assertThat(sorted(stored)).containsExactlyElementsOf(sorted(run));
    }

    private static List<String> sorted(Run run) {
        List<String> rows = new ArrayList<>();
        Readings all = run.readings();
        for (int i = 0; i < all.size(); i++) {
            // A database and a text know one zero; adding 0 makes -0.0 that one.
            double value = all.value(i) + 0.0;
            rows.add(all.position(i) + " " + all.role(i) + " " + all.identity(i) + " " + all.quantity(i) + " " + value
                    + " " + all.dilution(i));
        }
        rows.sort(null);
        return rows;
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

    private String get(Server server, String path) throws Exception {
        return get(server.address().resolve("/days/" + DATE + "/" + path));
    }

    private String get(URI address) throws Exception {
        URI at = URI.create(address.toString().replaceFirst("/days/[^/]+/capture", "/capture"));
        return client.send(HttpRequest.newBuilder(at).build(), HttpResponse.BodyHandlers.ofString())
                .body();
    }

    /** The page of a run with verdicts of its soils. */
    private void waitFor(Server server, String path, String run) throws Exception {
        eventually(() -> {
            String page = get(server, path);
            return page.contains(run) && page.contains("fit");
        });
    }

    private static void eventually(Callable<Boolean> holds) throws Exception {
        long start = System.nanoTime();
        while (!holds.call()) {
            assertThat(System.nanoTime() - start).as("waited").isLessThan(60_000_000_000L);
            Thread.sleep(20);
        }
    }
}
