package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.people.PersonRole;

/**
 * Regulated soil from the dock to its residue, each step by the person whose work it is, and what an inspector is given of it. Everything that came in
 * must be destroyed, to the gram: the mass is what the test put on the balance. The limit is dry heat of 121 °C for two hours, invented with its permit.
 */
final class RegulatedWalkBrowserTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 26);
    private static final Instant MORNING = Instant.parse("2026-11-26T09:00:00Z");
    private static final int SOILS = 3;
    private static final String MASS_G = "1480";
    private static final Duration HEATED = Duration.ofMinutes(210);

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
    void fromTheDockToItsResidueAndTheInspectorsFile() throws Exception {
        Day day = Simulator.simulate(Scenario.of(41, 24, DAY.minusDays(1))).day();
        laboratory = WalkedLaboratory.open(folder, askedForAcidity(day), MORNING);
        browser = laboratory.browser();
        InventedPapers.sign(laboratory.store().papers(), DAY, MORNING);
        dock();
        String parcel = layout();
        charge(parcel);
        inspector(parcel);
    }

    private static Day askedForAcidity(Day day) {
        return new Day(
                day.laboratory(),
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                day.runs(),
                List.of(new TestPackage(
                        "acidity", "Soil pH", List.of(new TestPackage.Asked("ph-water-1-1", List.of())))),
                day.shortages());
    }

    private void dock() throws Exception {
        laboratory.signIn(PersonRole.CLIENT_SERVICE);
        laboratory.page("/intake");
        browser.file("#sheet", Files.writeString(folder.resolve("hatchie.csv"), """
                Client,"Hatchie Bend Farm (invented)"
                Country,US
                State,"Tennessee"
                County,"Hardeman"
                No,Sample
                1,Levee 1
                2,Levee 2
                3,Levee 3
                """));
        browser.choose("#package", "acidity");
        browser.enterAt("form[action='/intake/take'] button", SOILS + " soils of Hatchie Bend Farm");
        browser.picture("walk-a-1-worksheet");
        String submission = browser.address().replaceAll(".*/intake/", "");
        laboratory.page("/dock/" + submission);
        assertThat(browser.text()).contains("regulated: keep apart");
        laboratory.say("#box-label", "BX-7", "BX-7");
        laboratory.say("#bag", "Levee 1", "Tick the other 2");
        browser.enterAt("form[action='/dock/rest'] button", "The bags are not counted");
        laboratory.say("#count", "" + SOILS, "counted by hand");
        laboratory.say("#mass", MASS_G, "Book in " + SOILS + " soils as regulated");
        browser.picture("walk-a-2-dock");
        assertThat(browser.stopsTo("Book in", element -> element.getText().startsWith("Book in")))
                .as("stops of the keyboard")
                .isLessThanOrEqualTo(10);
        browser.enterAt("section[aria-labelledby=bookin] button", "It waits for its layout");
        browser.picture("walk-a-3-booked");
    }

    /** Its own tray, and every portion that must exist is entered. */
    private String layout() {
        laboratory.signIn(PersonRole.QUALITY);
        laboratory.page("/intake");
        browser.enterAt("form[action='/intake/layout'] button", "Labels");
        browser.picture("walk-a-4-labels");
        laboratory.signIn(PersonRole.BENCH);
        laboratory.page("/regulated");
        browser.picture("walk-a-5-account");
        String parcel = String.valueOf(
                browser.ask("return document.querySelector(\"a[href^='/regulated/parcels/']\").textContent.trim()"));
        laboratory.page("/regulated/parcels/" + parcel);
        browser.write("#place", "bag 12");
        browser.press(Keys.ENTER);
        browser.waitUntilGone("form[action='/regulated/enter']");
        assertThat(browser.text()).contains("It adds up");
        browser.picture("walk-a-6-parcel");
        return parcel;
    }

    private void charge(String parcel) throws Exception {
        laboratory.page("/regulated");
        browser.write("#name", "C-1");
        browser.write("#device", "oven 2");
        browser.write("#sensors", "middle, door");
        laboratory.say("#uncertainty", "0.5", "Charge C-1");
        browser.write("#codes", "bag 12\n" + parcel);
        browser.enterAt("form[action='/regulated/charge/load'] button", "portions");
        Instant loaded = laboratory.clock().instant();
        StringBuilder record = new StringBuilder("time; sensor; °C\n");
        for (int minute = 0; minute <= HEATED.toMinutes(); minute += 5) {
            // An hour to heat, then two and a half at 125 °C, the door two kelvins behind the middle.
            double middleC = Math.min(125, 21 + minute * 104 / 60.0) + (minute % 15 == 0 ? 0.4 : 0);
            Instant at = loaded.plus(Duration.ofMinutes(minute));
            record.append(String.format(Locale.ROOT, "%s; middle; %.1f%n", at, middleC));
            record.append(String.format(Locale.ROOT, "%s; door; %.1f%n", at, middleC - 2));
        }
        laboratory.clock().set(loaded.plus(HEATED).plusSeconds(60));
        // Nobody stays signed in for as long as the oven heats.
        laboratory.signIn(PersonRole.BENCH);
        laboratory.page("/regulated/charges/C-1");
        browser.file("#record", Files.writeString(folder.resolve("oven-2.csv"), record.toString()));
        browser.enterAt("form[action='/regulated/charge/record'] button", "oven-2.csv");
        browser.picture("walk-a-7-charge");
        browser.ask("document.querySelector('#confirm-0').click(); return true");
        laboratory.say("#opened", laboratory.clock().instant().toString(), "waits for 2 signatures");
        browser.picture("walk-a-8-closed");

        laboratory.signIn(PersonRole.QUALITY);
        laboratory.page("/regulated/charges/C-1");
        assertThat(browser.stopsTo("the password", element -> "password".equals(element.getAttribute("id"))))
                .as("stops of the keyboard")
                .isLessThanOrEqualTo(10);
        laboratory.say("#password", WalkedLaboratory.PASSWORD, "waits for 1 signature");
        // Nobody signs twice.
        assertThat(browser.has("#password")).isFalse();
        laboratory.signIn(PersonRole.IN_CHARGE);
        laboratory.page("/regulated/charges/C-1");
        laboratory.say("#password", WalkedLaboratory.PASSWORD, "Release the residue");
        browser.picture("walk-a-9-signed");
        browser.write("#carrier", "Weir Haulage (invented)");
        browser.write("#destination", "the invented landfill at Moss Side");
        laboratory.say("#ticket", "T-311", "Residue released to Weir Haulage");
        browser.picture("walk-a-10-residue");
        laboratory.page("/regulated");
        assertThat(browser.text()).contains("No regulated soil is in the laboratory", "It adds up");
        browser.picture("walk-a-11-empty");
    }

    private void inspector(String parcel) throws Exception {
        laboratory.signIn(PersonRole.AUDITOR);
        String csv = Files.readString(laboratory.download("/regulated/file/" + parcel + "/csv", ".csv"));
        Path pdf = laboratory.download("/regulated/file/" + parcel + "/pdf", ".pdf");
        String text = WalkedLaboratory.text(pdf);
        for (String says : List.of(
                parcel,
                "Hardeman",
                "P-1, version 1",
                "oven 2",
                "dry heat",
                WalkedLaboratory.name(PersonRole.QUALITY),
                WalkedLaboratory.name(PersonRole.IN_CHARGE),
                "T-311")) {
            assertThat(csv).contains(says);
            assertThat(text).contains(says);
        }
        // To the gram: what was weighed at the dock was destroyed, and nothing is held or unexplained.
        assertThat(row(csv, "received")).contains("," + MASS_G + ",");
        assertThat(row(csv, "destroyed")).contains("," + MASS_G + ",");
        List<String> portions = table(csv, "Portions as they are now");
        // The parcel, a well of each soil, and what else must exist of a tray.
        assertThat(portions).hasSizeGreaterThan(SOILS);
        assertThat(portions).allSatisfy(line -> assertThat(line).contains("destroyed C-1"));
        assertThat(table(csv, "Missing: must exist and is not in the account")).isEmpty();
    }

    private static String row(String csv, String account) {
        return csv.lines().filter(line -> line.startsWith(account)).findFirst().orElse("no row " + account);
    }

    /** The rows of a table of the file, its head left out. */
    private static List<String> table(String csv, String caption) {
        List<String> lines = csv.lines().toList();
        int from = 0;
        while (!lines.get(from).replace("\"", "").replace("\uFEFF", "").equals(caption)) {
            from++;
        }
        int until = from;
        while (until < lines.size() && !lines.get(until).isEmpty()) {
            until++;
        }
        return lines.subList(Math.min(from + 2, until), until);
    }
}
