package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.tenmesh.core.causes.Cause;
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
import org.tenmesh.store.people.PersonRole;

/**
 * A redo whose tray was dumped, by the people whose work it is: signed first, put on the shelf, ordered again, fetched from its box, read the next day, and
 * told to the client as a change. What the second reading must be is known without the program: it is the same simulated run without the fault.
 */
final class ShelfWalkBrowserTest {
    private static final String FIRST = "2026-11-25";
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    @SuppressWarnings("NullAway.Init")
    private WalkedLaboratory laboratory;

    @SuppressWarnings("NullAway.Init")
    private Browser browser;

    @AfterEach
    void close() {
        // A missing browser skips the test half-way through its start.
        if (laboratory != null) {
            laboratory.close();
        }
    }

    @Test
    void aRedoFromTheShelfChangesAResultAndTheReportSaysSo() throws Exception {
        Scenario scenario = Scenario.of(11, 60, DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED));
        laboratory = WalkedLaboratory.open(
                folder, Simulator.simulate(scenario).day(), Instant.parse("2026-11-25T20:00:00Z"));
        browser = laboratory.browser();
        Desk desk = laboratory.server().day().orElseThrow();
        Cause cause = desk.openCauses().get(0);
        LabNumber touched = cause.labNumbers().stream()
                .filter(one -> desk.soil(one.text())
                        .filter(soil -> soil.submission().isPresent()
                                && !soil.regulated().orElse(true))
                        .isPresent())
                .findFirst()
                .orElseThrow();
        String submission = desk.soil(touched.text()).orElseThrow().submission().orElseThrow();
        Tray tray = desk.place(touched).orElseThrow().tray();

        sign("/release/" + submission, "first release", 1);
        browser.picture("walk-b-1-released");
        shelve(tray);
        order(cause);
        dump(tray);
        readTheNextDay(cause);
        amend(submission, touched);
    }

    /** A page on which new data came meanwhile signs nothing: then the person looks again, and signs what is there now. */
    private void sign(String page, String reason, int revisions) throws InterruptedException {
        laboratory.signIn(PersonRole.IN_CHARGE);
        for (int tries = 0; tries < 5 && releases().size() < revisions; tries++) {
            until(page, () -> browser.has("#password"));
            browser.picture("walk-b-draft-" + revisions);
            browser.ask("document.querySelector('#reason').value = ''; return true");
            browser.write("#reason", reason);
            browser.write("#password", WalkedLaboratory.PASSWORD);
            browser.press(Keys.ENTER);
            long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
            while (releases().size() < revisions
                    && !browser.shows("Nothing was released; look again", Duration.ofMillis(100))
                    && System.nanoTime() < end) {
                Thread.sleep(50);
            }
        }
        assertThat(releases()).as(browser.text()).hasSize(revisions);
    }

    private List<Release> releases() {
        return laboratory.store().releases(FIRST);
    }

    /** Every soil of the tray into one box at one place, by scanning. */
    private void shelve(Tray tray) {
        laboratory.signIn(PersonRole.BENCH);
        laboratory.page("/shelf");
        laboratory.say("#code", "P-A1", "P-A1");
        laboratory.page("/shelf");
        browser.enterAt("form[action='/shelf/make']:has([value=box]) button", "Box B-000001");
        browser.write(
                "#soils",
                tray.wells().stream()
                        .flatMap(place -> place.labNumber().stream())
                        .map(LabNumber::text)
                        .collect(Collectors.joining("\n")));
        browser.enterAt("form[action='/shelf/put'] button", "Soils in box B-000001");
        laboratory.say("#place", "P-A1", "Stands at P-A1");
        browser.picture("walk-b-2-box");
    }

    private void order(Cause cause) {
        laboratory.signIn(PersonRole.IN_CHARGE);
        laboratory.page("/causes/"
                + URLEncoder.encode(cause.key().text(), StandardCharsets.UTF_8).replace("+", "%20"));
        browser.picture("walk-b-3-cause");
        browser.enterAt("a[href$='/order']", "What the bench will do");
        browser.picture("walk-b-4-order");
        browser.enterAt("button[value='order-redo']", "Redo ordered by " + WalkedLaboratory.name(PersonRole.IN_CHARGE));
    }

    private void dump(Tray tray) {
        laboratory.signIn(PersonRole.BENCH);
        laboratory.page("/shelf/trays/" + tray.tray());
        browser.picture("walk-b-5-dump");
        browser.ask("document.querySelector('#confirmed').click(); return true");
        browser.enterAt("form[action='/shelf/dump'] button", "What is made again of it comes from the shelf");
        laboratory.page("/bench/" + tray.tray());
        assertThat(browser.text()).contains("Fetch from the shelf", "B-000001 at P-A1");
        browser.picture("walk-b-6-bench");
    }

    /** The instrument is in order again: the same run without its fault, a day later. */
    private void readTheNextDay(Cause cause) {
        laboratory.clock().set(Instant.parse("2026-11-26T20:00:00Z"));
        Run sound = Simulator.simulate(Scenario.of(11, 60, DATE)).day().runs().stream()
                .filter(run -> run.run().equals(cause.run()))
                .findFirst()
                .orElseThrow();
        Day second = Simulator.simulate(Scenario.of(12, 24, DATE.plusDays(1))).day();
        List<Run> runs = new ArrayList<>(second.runs());
        runs.add(nextDay(sound));
        laboratory.store().take(second.withRuns(runs), "2".repeat(64), "test");
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

    private void amend(String submission, LabNumber touched) throws Exception {
        sign("/days/" + FIRST + "/release/" + submission, "made again from the shelf", 2);
        browser.picture("walk-b-7-amended");
        Amendment amendment = Amendment.between(releases().get(0), releases().get(1));
        assertThat(amendment.changes()).anySatisfy(change -> {
            assertThat(change.labNumber()).isEqualTo(touched);
            assertThat(change.is()).isNotEmpty().isNotEqualTo(change.was());
        });
        String text = report(submission);
        assertThat(text).contains(touched.text()).contains("made again from the shelf");
        assertThat(text.toLowerCase(Locale.ROOT)).contains("revision 2");
    }

    private String report(String submission) throws IOException, InterruptedException {
        Path pdf = laboratory.download("/days/" + FIRST + "/reports/" + submission + "/2", ".pdf");
        return WalkedLaboratory.text(pdf);
    }

    /** Opens a page again and again until it is as it should be: what came is judged within moments. */
    private void until(String page, BooleanSupplier so) throws InterruptedException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(90);
        laboratory.page(page);
        while (!so.getAsBoolean()) {
            if (System.nanoTime() > end) {
                throw new AssertionError("the page " + page + " says: " + browser.text());
            }
            Thread.sleep(200);
            laboratory.page(page);
        }
    }
}
