package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** A tablet at the bench, worked with a scanner alone: nothing here touches the page but by keys. */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
final class BenchBrowserTest {
    private static final String NAME = "B. Loam";
    private static final String PIN = "270419";
    private static final int LOCKS_S = 40;

    @TempDir
    private static Path folder;

    private static Browser browser;
    private static Store store;
    private static Server server;
    private static String day;
    private static String badge;
    private static List<Tray> trays;
    private static long scannedNanos;

    @BeforeAll
    static void open() throws Exception {
        browser = Browser.start(folder);
        store = Store.open(StoreSettings.embedded(folder.resolve("database")), Clock.systemUTC(), new SecureRandom());
        Day whole = Simulator.simulate(Scenario.of(41, 60, LocalDate.of(2026, 11, 25)))
                .day();
        Day fresh = whole.withRuns(List.of());
        day = store.take(fresh, LocalDate.of(2026, 11, 25), "1".repeat(64), "test")
                .day();
        trays = fresh.trays();
        store.people().add(new Person(NAME, PersonRole.BENCH, ""), "test");
        badge = store.badges().issue(NAME, "test");
        ServerSettings settings = new ServerSettings(
                "127.0.0.1",
                0,
                false,
                Duration.ofHours(12),
                Duration.ofHours(2),
                Duration.ofSeconds(LOCKS_S),
                List.of());
        server = Server.start(settings, store, MethodFiles.shipped(), Clock.systemUTC());
    }

    @AfterAll
    static void close() {
        if (server != null) {
            server.close();
            store.close();
        }
        if (browser != null) {
            browser.close();
        }
    }

    private static void go(String path) {
        browser.open(server.address().resolve(path).toString());
    }

    private static void scan(String code) {
        browser.scan("body", code, 0);
        scannedNanos = System.nanoTime();
    }

    /** As long as hands take at least: the same command sooner is one scan that came twice. */
    private static void pause() {
        long left = 1_600 - (System.nanoTime() - scannedNanos) / 1_000_000;
        try {
            Thread.sleep(Math.max(0, left));
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
    }

    /** Scans, and scans again where a busy machine stretched the keys so that they looked like those of a hand. */
    private static void scan(String code, String words) {
        for (int tries = 1; tries <= 4; tries++) {
            pause();
            scan(code);
            if (browser.shows(words, Duration.ofSeconds(12))) {
                return;
            }
        }
        browser.waitFor(words);
    }

    private static void signIn(String pin) {
        browser.press(badge + Keys.ENTER);
        browser.waitFor("PIN");
        browser.press(pin + Keys.ENTER);
    }

    @Test
    @Order(1)
    void opensWithABadgeAndAPinThatItsHolderChooses() {
        go("/bench");
        browser.waitFor("Scan your badge");
        browser.press(badge + Keys.ENTER);
        browser.waitFor("Choose a PIN");
        browser.press("123456" + Keys.TAB + "123456" + Keys.ENTER);
        browser.waitFor("harder to guess");
        browser.press(PIN + Keys.TAB + PIN + Keys.ENTER);
        browser.waitFor("Scan a tray");
        assertThat(browser.text()).contains(NAME);
    }

    /** The front page, signed in again where the tablet has locked. */
    private static void front() {
        go("/bench");
        browser.waitForOne("Scan a tray", "Badge");
        if (browser.text().contains("Badge")) {
            signIn(PIN);
            browser.waitFor("Scan a tray");
        }
    }

    @Test
    @Order(2)
    void leadsATrayFromDryToTheInstrumentByScannerAlone() {
        front();
        scan("R0017", "Rack R-017");
        browser.waitFor("At most 40 °C");
        scan("DO-BEGIN", "begun at");
        scan("DO-DONE", "to go. Dryness: not weighed twice. Go on anyway?");
        scan("DO-YES", "Below 2 mm");
        scan("DO-DONE", "Scan the mill that it is ground in.");
        scan("MILL-1", "Dryness: not weighed twice. Go on anyway?");
        scan("DO-YES", "In the order of the rack");
        scan("DO-DONE", "Lay out in trays: done.");

        String tray = trays.get(0).tray();
        scan(tray, "Tray " + tray);
        int scans = 1;
        int steps = 0;
        while (!browser.text().contains("Handed over") && steps < 12) {
            String before = big();
            boolean begins = browser.text().contains("Begun");
            if (begins) {
                scan("DO-BEGIN", "begun at");
                scan("DO-DONE", "Go on anyway?");
                scan("DO-YES");
                waitForOther(before, "DO-YES");
                scans += 3;
            } else {
                pause();
                scan("DO-DONE");
                waitForOther(before, "DO-DONE");
                scans++;
            }
            steps++;
        }
        scan("DO-DONE", "Hand over to the instrument: done.");
        scans++;
        List<BenchAct> acts = store.benchActs().of(day);
        assertThat(acts).extracting(BenchAct::person).containsOnly(NAME);
        assertThat(acts.get(acts.size() - 1).step()).endsWith(".read");
        assertThat(acts).anyMatch(act -> act.told().contains("too early"));
        // The tray, one for each step, two for the one with a time, and a yes because nobody waited for its end.
        assertThat(scans).isEqualTo(steps + 4);
    }

    private static String big() {
        return browser.written("#note [name=step]");
    }

    private static void waitForOther(String before, String scanned) {
        for (int tries = 1; tries <= 4; tries++) {
            long end = System.nanoTime() + Duration.ofSeconds(12).toNanos();
            while (System.nanoTime() < end) {
                try {
                    if (!big().equals(before)) {
                        return;
                    }
                    Thread.sleep(50);
                } catch (InterruptedException stop) {
                    Thread.currentThread().interrupt();
                    return;
                } catch (RuntimeException changing) {
                    // The page is just being drawn again.
                }
            }
            scan(scanned);
        }
        throw new AssertionError("the step " + before + " did not change: " + browser.text());
    }

    @Test
    @Order(3)
    void takesOnceWhatIsScannedTwiceAndNamesTheNearestNumber() {
        String tray = trays.get(1).tray();
        front();
        scan(tray, "Tray " + tray);
        int before = store.benchActs().of(day).size();
        String step = big();
        pause();
        scan("DO-DONE");
        scan("DO-DONE");
        browser.waitFor("taken once");
        waitForOther(step, "DO-DONE");
        assertThat(store.benchActs().of(day)).hasSize(before + 1);

        String soil = trays.get(1).wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .findFirst()
                .orElseThrow()
                .text();
        scan(soil, "Tray " + tray);
        scan("DO-SPILT", "spilt, " + soil);
        browser.waitFor("To make again");

        scan(tray.substring(0, tray.length() - 1) + "X", "Nearest here: ");
    }

    @Test
    @Order(4)
    void keepsNotesWithoutNetworkAndSendsThemOnceInOrder() {
        front();
        String tray = trays.get(2).tray();
        browser.waitFor(tray);
        waitForFeed();
        int before = store.benchActs().of(day).size();
        browser.network(false);
        scan(tray, "Tray " + tray);
        browser.waitFor("No network");
        String first = big();
        pause();
        scan("DO-DONE");
        waitForOther(first, "DO-DONE");
        browser.waitFor("1 kept on this tablet");
        // The page comes again without network, with what was kept.
        go("/bench/" + tray);
        browser.waitFor("1 kept on this tablet");
        browser.waitFor("Tray " + tray);
        String second = big();
        pause();
        scan("DO-DONE");
        waitForOther(second, "DO-DONE");
        browser.waitFor("2 kept on this tablet");
        assertThat(store.benchActs().of(day)).hasSize(before);

        browser.network(true);
        browser.waitFor("2 kept notes were sent, each once.");
        List<BenchAct> acts = store.benchActs().of(day);
        assertThat(acts).hasSize(before + 2);
        List<BenchAct> late = acts.subList(before, before + 2);
        assertThat(late).extracting(BenchAct::step).containsExactly(first, second);
        assertThat(late).allMatch(act -> act.told().contains("noted without network"));
        assertThat(late).allMatch(act -> act.deviceAt().isBefore(act.storedAt()));
    }

    private static void waitForFeed() {
        for (int i = 0; i < 200; i++) {
            if (Boolean.TRUE.equals(browser.ask("return !!localStorage.getItem('tenmesh-bench-work')"
                    + " && !!navigator.serviceWorker.controller"))) {
                return;
            }
            try {
                Thread.sleep(50);
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
            }
        }
        throw new AssertionError("the tablet kept nothing for the time without network");
    }

    @Test
    @Order(5)
    void locksWhenNobodyUsesItAndComesBackToItsPlace() {
        String tray = trays.get(3).tray();
        front();
        go("/bench/" + tray);
        browser.waitFor("Tray " + tray);
        browser.waitFor("Locked");
        browser.waitFor("used this tablet for " + LOCKS_S + " seconds");
        signIn("000001");
        browser.waitFor("Wrong badge or PIN.");
        browser.press(PIN + Keys.ENTER);
        browser.waitFor("Tray " + tray);
        assertThat(browser.address()).endsWith("/bench/" + tray);
    }

    @Test
    @Order(6)
    void fitsATabletAndAPhone() {
        String tray = trays.get(3).tray();
        front();
        for (String path : List.of("/bench", "/bench/" + tray, "/bench-card")) {
            go(path);
            for (int width : new int[] {1180, 820, 390}) {
                assertThat(browser.overflowAt(width)).as(path + " at " + width).isLessThanOrEqualTo(0);
            }
        }
        go("/bench/" + tray);
        Object small = browser.ask(
                "return [...document.querySelectorAll('main button, main input:not([type=hidden]), main label.well')]"
                        + ".filter((one) => one.offsetParent && (one.closest('label.well') || one).getBoundingClientRect().height < 48)"
                        + ".map((one) => one.textContent || one.id).join(', ')");
        assertThat(Optional.ofNullable(small)).contains("");
    }
}
