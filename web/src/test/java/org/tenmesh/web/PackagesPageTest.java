package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.store.people.PersonRole;

/** Packages, and what follows from them: portions at the bench, and how each soil's results stand. */
class PackagesPageTest {
    private static final InventedDay BASE = InventedDay.of(60, Ashgrove.METHODS);
    private static final InventedDay PACKAGED = PackagedDay.of(BASE);
    private static Ashgrove ashgrove;

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(PACKAGED);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    /** Wells of tray 1 in order: the flow analyser's numbers are set by them. */
    private static List<LabNumber> wells() {
        return PACKAGED.day().trays().get(0).wells().stream()
                .flatMap(p -> p.labNumber().stream())
                .toList();
    }

    @Test
    void namesThePackagesWithTheirMethodsPortionsAndSoil() {
        Document page = ashgrove.as(PersonRole.CLIENT_SERVICE).page("/packages");
        Element routine = page.expectFirst("#standard");
        assertThat(routine.select("h2").text()).isEqualTo("Routine standard");
        assertThat(routine.select("tbody tr").eachText())
                .anySatisfy(row -> assertThat(row).startsWith("salt extract 5 g Invented nitrate"))
                .anySatisfy(row -> assertThat(row).startsWith("suspension 1:5 10 g"));
        assertThat(routine.text()).contains("Calculated from these Invented ratio");
        assertThat(routine.text()).contains("Regional advice Invented lime requirement lime; on here");
        assertThat(routine.text()).contains("6 portions");
    }

    @Test
    void saysSoilBySoilHowItsResultsStand() {
        Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/submissions/SUB-2201");
        assertThat(page.select("main").text())
                .contains("Asks for Routine 6 portions")
                .contains("Saturated pastes were made with the client's own water, lab number " + PackagedDay.WATER);
        String little =
                page.expectFirst("tr[id=" + PackagedDay.little(BASE) + "]").text();
        assertThat(little).contains("1 not enough soil", "Not enough soil: Invented organic carbon by titration");
        assertThat(little).contains("1 not read yet", "Not read yet: Invented conductivity, 1:5");
        String water = page.expectFirst("tr[id=" + PackagedDay.WATER + "]").text();
        assertThat(water).contains("the client's water", "package water", "1 not read yet");
        List<String> soils = page.select("tbody tr").eachText();
        assertThat(soils).anySatisfy(row -> assertThat(row).contains("below limit"));
        assertThat(soils).anySatisfy(row -> assertThat(row).contains("1 above range"));
        assertThat(soils).anySatisfy(row -> assertThat(row).contains("1 saturated"));
    }

    @Test
    void tellsBelowAboveSaturatedAndCalculateedApartOnASoilsPage() {
        Browser browser = ashgrove.as(PersonRole.QUALITY);
        String why = "?why=" + AllKinds.FLOW + ".NO3-N";
        assertThat(browser.page("/soils/" + wells().get(1) + why)
                        .expectFirst("tr.on")
                        .text())
                .contains("< 0.5");
        assertThat(browser.page("/soils/" + wells().get(2) + why)
                        .expectFirst("tr.on")
                        .text())
                .contains("> 60.0");
        assertThat(browser.page("/soils/" + wells().get(3) + why)
                        .expectFirst("tr.on")
                        .text())
                .contains("saturated");
        Document page = browser.page("/soils/" + wells().get(4) + "?why=" + AllKinds.DERIVED + ".K_Mg");
        assertThat(page.expectFirst("#story").text())
                .contains("Calculated from other results")
                .doesNotContain("not read");
        assertThat(page.select("tbody tr.group").eachText())
                .contains("Measured", "Calculated from these", "Regional advice");
        assertThat(browser.page("/soils/" + PackagedDay.little(BASE))
                        .select("main")
                        .text())
                .contains("not enough soil");
    }

    @Test
    void showsAtTheBenchEveryPortionOfATrayInOrder() {
        Document page = ashgrove.as(PersonRole.BENCH)
                .page("/bench/" + PACKAGED.day().trays().get(0).tray());
        List<String> portions = page.select(".portion").eachText();
        assertThat(portions).filteredOn(line -> line.startsWith("done")).hasSize(4);
        assertThat(portions.get(0)).startsWith("done");
        assertThat(portions).anySatisfy(line -> assertThat(line).startsWith("now Take the soil: 10 g soil"));
        assertThat(portions).anySatisfy(line -> assertThat(line).startsWith("waits Pour: 50 mL water"));
        assertThat(page.select(".big").text()).isEqualTo("10 g soil");
        assertThat(page.select(".caution").text()).contains("Invented caution of " + AllKinds.CONDUCTIVITY);
        assertThat(portions).anySatisfy(line -> assertThat(line).startsWith("waits Take the soil: 0.5 g soil"));
        assertThat(page.text()).doesNotContain("Invented lime", "Invented ratio", "not enough soil");
    }

    @Test
    void asksTheSameOfAHiddenControlAsOfItsNeighbours() {
        LabNumber control = Places.control(BASE);
        LabNumber soil = Places.soil(BASE);
        InventedDay other = PackagedDay.of(BASE.exchanged(control, soil, Ashgrove.METHODS));
        try (Ashgrove exchanged = Ashgrove.open(other)) {
            Browser here = ashgrove.as(PersonRole.BENCH);
            Browser there = exchanged.as(PersonRole.BENCH);
            for (String path : List.of("/bench", "/trays")) {
                assertThat(text(there, path)).isEqualTo(text(here, path));
            }
            PACKAGED.day()
                    .trays()
                    .forEach(tray -> assertThat(text(there, "/bench/" + tray.tray()))
                            .isEqualTo(text(here, "/bench/" + tray.tray())));
        }
    }

    private static String text(Browser browser, String path) {
        // What differs by design: the token of the sign-in and the version of the day.
        return Browser.text(browser.get(path))
                .replaceAll("value=\"[0-9a-f]{16,}\"", "")
                .replaceAll("data-version=\"\\d+\"", "");
    }
}
