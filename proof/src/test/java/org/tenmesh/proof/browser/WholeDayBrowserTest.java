package org.tenmesh.proof.browser;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.tenmesh.app.Main;
import org.tenmesh.app.living.PlayedPerson;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.exports.Export;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;

/**
 * A client's box from the dock to the signed report on the program as it is started, each step by the person whose work it is, in a browser. What
 * the instrument reads is written by hand: slopes of electrodes near the theoretical one, and on the first run a drift that the closing check shows.
 */
final class WholeDayBrowserTest {
    private static final String METHOD = "ph-water-1-1";
    private static final String CLIENT = "Tern Bay Growers (invented)";
    private static final String PASSWORD = "a heron over the weir";
    private static final int SOILS = 20;
    /** Near the theoretical slope of 59.16 mV a pH unit at 25 degrees Celsius. */
    private static final double SLOPE_MV = 58.2;

    private static final double DRIFT_MV = 30;
    private static final Map<PersonRole, String> PEOPLE = Map.of(
            PersonRole.CLIENT_SERVICE, "C. Fescue",
            PersonRole.QUALITY, "A. Marram",
            PersonRole.BENCH, "B. Tansy",
            PersonRole.IN_CHARGE, "R. Quill",
            PersonRole.AUDITOR, "D. Yarrow");

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    private final List<AutoCloseable> toClose = new ArrayList<>();
    private final Random noise = new Random(20_261_130);

    @AfterEach
    void close() throws Exception {
        for (int i = toClose.size() - 1; i >= 0; i--) {
            toClose.get(i).close();
        }
    }

    /** Yesterday's day of the invented laboratory: its instruments, control soils and one package. */
    private Day yesterday(LocalDate today) {
        Day day = Simulator.simulate(Scenario.of(41, 60, today.minusDays(1))).day();
        TestPackage acidity = new TestPackage("acidity", "Soil pH", List.of(new TestPackage.Asked(METHOD, List.of())));
        return new Day(
                day.laboratory(),
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                day.runs(),
                List.of(acidity),
                day.shortages());
    }

    private URI serve(Day day, LocalDate today) throws Exception {
        String hash = Server.passwordHash(PASSWORD);
        try (Store store =
                Store.open(StoreSettings.embedded(folder.resolve("database")), Clock.systemUTC(), new SecureRandom())) {
            store.take(day, today.minusDays(1), "1".repeat(64), "test");
            PEOPLE.forEach((role, name) -> store.people().add(new Person(name, role, hash), "test"));
        }
        Files.writeString(folder.resolve("probes.yaml"), Export.PROBES.reader());
        Files.createDirectory(folder.resolve("drop"));
        Path capture = Files.writeString(folder.resolve("capture.yaml"), """
                free_megabytes: 1
                sources:
                  - {name: PH1, kind: folder, folder: drop, files: "*.txt", instrument: PH1, method: %s, reader: probes.yaml, order: planned}
                """.formatted(METHOD));
        int port;
        try (ServerSocket any = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = any.getLocalPort();
        }
        Process program = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx512m",
                        "-cp",
                        System.getProperty("java.class.path"),
                        Main.class.getName(),
                        "serve",
                        "--data",
                        folder.toString(),
                        "--port",
                        "" + port,
                        "--capture",
                        capture.toString())
                .redirectErrorStream(true)
                .redirectOutput(folder.resolve("program.log").toFile())
                .start();
        toClose.add(() -> {
            program.destroy();
            program.waitFor(30, TimeUnit.SECONDS);
            program.destroyForcibly();
        });
        URI address = URI.create("http://127.0.0.1:" + port + "/");
        long end = System.nanoTime() + TimeUnit.MINUTES.toNanos(2);
        while (true) {
            try {
                if (new PlayedPerson("nobody", address).open("/sign-in").status() == 200) {
                    return address;
                }
            } catch (IOException notYet) {
                if (!program.isAlive() || System.nanoTime() > end) {
                    throw new AssertionError(Files.readString(folder.resolve("program.log")), notYet);
                }
            }
            Thread.sleep(200);
        }
    }

    @Test
    void aBoxFromTheDockToItsReportWithADriftOnTheWay() throws Exception {
        ZoneId zone = Scenario.of(41, 60, LocalDate.of(2026, 11, 25)).options().zone();
        LocalDate today = LocalDate.now(Clock.system(zone));
        Day yesterday = yesterday(today);
        URI address = serve(yesterday, today);
        Path downloads = Files.createDirectory(folder.resolve("downloads"));
        Browser browser = Browser.start(downloads);
        toClose.add(browser);
        Laboratory laboratory = new Laboratory(address, browser);

        // Client service: the sheet, then the box.
        laboratory.signIn(PersonRole.CLIENT_SERVICE);
        StringBuilder sheet =
                new StringBuilder("Client,\"" + CLIENT + "\"\nCountry,IE\nRegion,\"Wicklow\"\nNo,Sample\n");
        for (int i = 1; i <= SOILS; i++) {
            sheet.append(i).append(",Long Acre ").append(i).append('\n');
        }
        browser.open(address + "intake");
        browser.file("#sheet", Files.writeString(folder.resolve("tern-bay.csv"), sheet));
        browser.choose("#package", "acidity");
        browser.enterAt("form[action='/intake/take'] button", SOILS + " soils of " + CLIENT);
        String submission = browser.address().replaceAll(".*/intake/", "");
        laboratory.bookIn(submission);

        // Quality: the layout, in which nobody else can tell the controls, and the order of the run.
        laboratory.signIn(PersonRole.QUALITY);
        browser.open(address + "intake");
        browser.enterAt("form[action='/intake/layout'] button", "Labels");
        String first = laboratory.order();

        // The bench: the first tray from its step of now to the instrument.
        laboratory.signIn(PersonRole.BENCH);
        laboratory.benchLeadsATray();

        // The instrument drifts; its export is dropped on the page, and the cause is there.
        laboratory.signIn(PersonRole.QUALITY);
        laboratory.drop(export(first, yesterday, laboratory.file(first), DRIFT_MV));
        laboratory.signIn(PersonRole.IN_CHARGE);
        laboratory.until("causes", () -> browser.has("a[href$='/order']"));
        assertThat(browser.text()).containsIgnoringCase("drift");
        browser.enterAt("a[href$='/order']", "What the bench will do");
        browser.enterAt("button[value='order-redo']", "Redo ordered by " + PEOPLE.get(PersonRole.IN_CHARGE));

        // It is read again in the next run, and the cause is confirmed.
        laboratory.signIn(PersonRole.QUALITY);
        String second = laboratory.order();
        assertThat(second).isNotEqualTo(first);
        laboratory.drop(export(second, yesterday, laboratory.file(second), 0));
        laboratory.until("causes", () -> browser.text().contains("confirmed"));

        assertThat(browser.text()).containsIgnoringCase("drift");

        // Signed with the password again by somebody who took none of the readings, and read by client service and the
        // auditor.
        laboratory.signIn(PersonRole.IN_CHARGE);
        browser.open(address + "release/" + submission);
        browser.write("#password", PASSWORD);
        browser.press(Keys.ENTER);
        browser.waitFor("Released so far");
        laboratory.signIn(PersonRole.CLIENT_SERVICE);
        browser.open(address + "submissions/" + submission);
        assertThat(browser.text()).contains("Released so far");
        PlayedPerson service = laboratory.person(PersonRole.CLIENT_SERVICE);
        assertThat(service.open("/reports/" + submission + "/1").html()).startsWith("%PDF-");
        laboratory.signIn(PersonRole.AUDITOR);
        browser.open(address + "journal");
        assertThat(browser.text()).contains(submission, PEOPLE.get(PersonRole.IN_CHARGE));
    }

    /** The export of the head: what stands in the order, each position with what its probe reads. */
    private Path export(String run, Day day, List<String[]> places, double driftMv) throws IOException {
        StringBuilder text = new StringBuilder();
        Instant began = Instant.now().minus(40, ChronoUnit.MINUTES).truncatedTo(ChronoUnit.SECONDS);
        for (int i = 0; i < places.size(); i++) {
            String[] place = places.get(i);
            double ph = ph(day, place[1], place[2]);
            double mv = -SLOPE_MV * (ph - 7) + driftMv * i / places.size() + 0.4 * noise.nextGaussian();
            String named = switch (place[1]) {
                case "standard" -> "buffer " + place[2];
                case "verification" -> "check " + place[2];
                case "control" -> "known " + place[2];
                case "duplicate" -> "second " + place[2];
                default -> place[2];
            };
            text.append(String.format(
                    Locale.ROOT,
                    "%s vessel %s probe %s %s: %.1f mV, 25.0 C%n",
                    began.plusSeconds(14L * i),
                    place[0],
                    place[3],
                    named,
                    mv));
        }
        return Files.writeString(folder.resolve(run + ".txt"), text.toString().replace("\r", ""));
    }

    /** What a place of the order holds: buffers by their name, known soils by their material, soils by their lab number. */
    private static double ph(Day day, String role, String identity) {
        return switch (role) {
            case "standard", "verification" -> Double.parseDouble(identity);
            case "control" ->
                day.materials().stream()
                        .filter(one ->
                                one.method().equals(METHOD) && one.material().equals(identity))
                        .findFirst()
                        .orElseThrow()
                        .mean();
            default -> 5.6 + Math.floorMod(identity.hashCode(), 150) / 100.0;
        };
    }

    /** The laboratory as its people meet it. */
    private record Laboratory(URI address, Browser browser) {
        void signIn(PersonRole role) {
            browser.open(address + "sign-in");
            if (browser.has("form[action='/sign-out']")) {
                browser.enterAt("form[action='/sign-out'] button", "Sign in");
            }
            browser.write("input[name=name]", requireNonNull(PEOPLE.get(role)));
            browser.write("input[name=password]", PASSWORD);
            browser.press(Keys.ENTER);
            browser.waitFor(requireNonNull(PEOPLE.get(role)));
        }

        PlayedPerson person(PersonRole role) throws IOException, InterruptedException {
            PlayedPerson person = new PlayedPerson(requireNonNull(PEOPLE.get(role)), address);
            person.signIn(PASSWORD);
            return person;
        }

        void bookIn(String submission) {
            browser.open(address + "dock/" + submission);
            browser.write("#box-label", "B-1");
            browser.press(Keys.ENTER);
            browser.waitFor("B-1");
            browser.write("#bag", "Long Acre 1");
            browser.press(Keys.ENTER);
            browser.waitFor("Tick the other " + (SOILS - 1));
            browser.enterAt("form[action='/dock/rest'] button", "The bags are not counted");
            browser.write("#count", "" + SOILS);
            browser.press(Keys.ENTER);
            browser.waitFor("counted by hand");
            // No list of areas is in force, so somebody decides, and says why.
            String decision = "form:has(select[id^='choice-'])";
            browser.choose(decision + " select", "not regulated");
            browser.write(decision + " input[name=reason]", "the client's letter of 29 November: no listed area");
            browser.press(Keys.ENTER);
            browser.waitFor("Book in " + SOILS + " soils");
            browser.enterAt("section[aria-labelledby=bookin] button", "It waits for its layout");
        }

        /** Makes the next order of the head and gives its name. */
        String order() throws InterruptedException {
            until("orders", () -> browser.has("button[aria-label^='Make the next order of PH1']"));
            browser.enterAt("button[aria-label^='Make the next order of PH1']", "Run order");
            // "Run orders" stands on the page before too, so that the address tells when the next one is there.
            long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
            while (!browser.address().contains("/orders/") && System.nanoTime() < end) {
                Thread.sleep(50);
            }
            assertThat(browser.address()).contains("/orders/");
            assertThat(browser.wrong(false)).isEmpty();
            assertThat(browser.wrong(true)).isEmpty();
            assertThat(browser.overflowOnScreen(390)).isLessThanOrEqualTo(0);
            return browser.address().replaceAll(".*/orders/", "");
        }

        /** Opens a page again and again until it is as it should be: what arrives is judged within moments. */
        void until(String page, BooleanSupplier so) {
            long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
            browser.open(address + page);
            while (!so.getAsBoolean()) {
                if (System.nanoTime() > end) {
                    throw new AssertionError("the page " + page + " says: " + browser.text());
                }
                browser.open(address + page);
            }
        }

        /** The file for the instrument: position, role, identity, channel. */
        List<String[]> file(String order) throws IOException, InterruptedException {
            String csv = person(PersonRole.IN_CHARGE)
                    .open("/orders/" + order + "/file")
                    .html();
            assertThat(csv).startsWith("position,role,identity,channel");
            return csv.lines().skip(1).map(line -> line.split(",", -1)).toList();
        }

        void drop(Path export) {
            browser.open(address + "capture?source=PH1");
            browser.file("#export", export);
            browser.enterAt(
                    "form[action='/capture/drop'] button", export.getFileName().toString());
            assertThat(browser.text()).doesNotContain("set aside, and nothing");
        }

        void benchLeadsATray() throws InterruptedException {
            browser.open(address + "bench");
            browser.enterAt(".bench-list a", "Every step, in order");
            for (int i = 0; i < 8 && !browser.has(".timer.large"); i++) {
                String step = browser.text();
                browser.enterAt("button.main[data-what]", "Every step, in order");
                // A second scan within a moment is taken for the first one once more, so no hand is that quick.
                Thread.sleep(2_500);
                assertThat(browser.text()).isNotEqualTo(step);
            }
            assertThat(browser.text()).contains("begun at", "Let stand", "Last:", PEOPLE.get(PersonRole.BENCH));
        }
    }
}
