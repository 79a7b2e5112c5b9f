package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Assets;

/** A redo whose tray was dumped: from the order over the box on the shelf to the amended report. */
final class RedoFromShelfDbTest {
    private static final String PHRASE = "a heron over the weir";
    private static final String FIRST = "2026-11-25";
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final Clock CLOCK = Clock.fixed(Instant.parse("2026-11-25T20:00:00Z"), ZoneOffset.UTC);

    @SuppressWarnings("NullAway.Init")
    private Server server;

    private Browser as(String name) {
        Browser browser = new Browser(server.address());
        String link = server.oneTimeLink(name, Duration.ofMinutes(5)).getPath();
        browser.submit(link, link, Map.of());
        return browser;
    }

    /** Earlier days with open work are judged beside the newest; while that goes on a page may change under the hand. */
    private void waitForOpenWork() {
        for (int i = 0; i < 600 && server.currentDay().open().isEmpty(); i++) {
            try {
                Thread.sleep(50);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    private static HttpResponse<byte[]> sign(Browser browser, String submission, String reason) {
        Map<String, String> form = new HashMap<>();
        Document page = browser.page("/days/" + FIRST + "/release/" + submission);
        page.select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.put("reason", reason);
        form.put("password", PHRASE);
        return browser.post(page.expectFirst("main form[action*=/release/]").attr("action"), form);
    }

    private static Run nextDay(Run run) {
        Readings.Builder rows = Readings.builder();
        Readings from = run.readings();
        for (int i = 0; i < from.size(); i++) {
            rows.add(
                    from.position(i),
                    from.role(i),
                    from.identity(i),
                    from.channel(i),
                    from.quantity(i),
                    from.value(i),
                    from.unit(i),
                    from.at(i).plusDays(1),
                    from.dilution(i));
        }
        return MadeRun.like(run)
                .named("SHELF-01")
                .startedAt(run.startedAt().plusDays(1))
                .readings(rows.build())
                .run();
    }

    @Test
    void changesTheResultAndTheReportSaysSo(@TempDir Path folder) throws IOException {
        try (Store store = EmptyStore.open(folder, CLOCK)) {
            try {
                changes(store);
            } finally {
                server.close();
            }
        }
    }

    private void changes(Store store) throws IOException {
        Scenario scenario = Scenario.of(11, 120, DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED));
        Day first = Simulator.simulate(scenario).day();
        store.take(first, Assets.hash("first day"), "test");
        store.people().add(new Person("A. Invented", PersonRole.IN_CHARGE, ""), "test");
        store.people().add(new Person("B. Invented", PersonRole.BENCH, ""), "test");
        server = Server.start(ServerSettings.local(0), store, Ashgrove.METHODS, CLOCK);
        Browser charge = as("A. Invented");
        charge.submit("/password", "/password", Map.of("fresh", PHRASE, "again", PHRASE));
        Browser bench = as("B. Invented");
        Desk desk = server.currentDay().desk().orElseThrow();
        Cause cause = desk.openCauses().get(0);
        LabNumber touched = cause.labNumbers().stream()
                .filter(one -> desk.soil(one.text())
                        .filter(soil -> soil.submission().isPresent()
                                && !soil.regulated().orElse(true))
                        .isPresent())
                .findFirst()
                .orElseThrow();
        String submission = desk.soil(touched.text()).orElseThrow().submission().orElseThrow();
        assertThat(sign(charge, submission, "first release").statusCode()).isEqualTo(303);

        // Everything of the tray is put away by scanning, then the tray is dumped.
        Tray tray = desk.place(touched).orElseThrow().tray();
        bench.submit("/shelf", "/shelf/make", Map.of("what", "place", "code", "P-A1", "kind", "ordinary"));
        bench.submit("/shelf", "/shelf/make", Map.of("what", "box", "kind", "ordinary"));
        String box = "/shelf/boxes/B-000001";
        String scanned = tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .map(LabNumber::text)
                .collect(Collectors.joining("\n"));
        assertThat(bench.submit(box, "/shelf/put", Map.of("box", "B-000001", "soils", scanned))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.submit(box, "/shelf/place-box", Map.of("box", "B-000001", "place", "P-A1"))
                        .statusCode())
                .isEqualTo(303);
        store.act(FIRST, Grounds.of(cause), Action.ORDER_REDO, "", "A. Invented", CLOCK.instant());
        server.currentDay().renew();
        String page = "/shelf/trays/" + tray.tray();
        assertThat(bench.submit(page, "/shelf/dump", Map.of("tray", tray.tray(), "confirmed", "yes"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page("/bench/" + tray.tray()).text())
                .contains("Fetch from the shelf", "B-000001 at P-A1", "into its own well");
        server.close();

        // The next day the instrument is in order.
        Run sound = Simulator.simulate(Scenario.of(11, 120, DATE)).day().runs().stream()
                .filter(run -> run.run().equals(cause.run()))
                .findFirst()
                .orElseThrow();
        Day second = Simulator.simulate(Scenario.of(12, 60, DATE.plusDays(1))).day();
        List<Run> runs = new ArrayList<>(second.runs());
        runs.add(nextDay(sound));
        store.take(second.withRuns(runs), Assets.hash("second day"), "test");
        server = Server.start(ServerSettings.local(0), store, Ashgrove.METHODS, CLOCK);
        Browser later = as("A. Invented");
        waitForOpenWork();
        HttpResponse<byte[]> amended = sign(later, submission, "made again from the shelf");
        assertThat(amended.statusCode()).as(Browser.text(amended)).isEqualTo(303);
        List<Release> releases = store.releases(FIRST).stream()
                .filter(release -> release.submission().equals(submission))
                .toList();
        Amendment amendment = Amendment.between(releases.get(0), releases.get(1));
        assertThat(amendment.changes()).anySatisfy(change -> {
            assertThat(change.labNumber()).isEqualTo(touched);
            assertThat(change.method()).isEqualTo(sound.method());
            assertThat(change.is()).isNotEmpty().isNotEqualTo(change.was());
        });
        // To be looked at: what the client gets.
        Path report =
                Files.createDirectories(Path.of("target").toAbsolutePath()).resolve("redo-from-shelf.pdf");
        Files.write(
                report,
                later.get("/days/" + FIRST + "/reports/" + submission + "/2").body());
        assertThat(Files.readString(report, java.nio.charset.StandardCharsets.ISO_8859_1))
                .startsWith("%PDF-");
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }
}
