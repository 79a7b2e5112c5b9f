package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

/**
 * Two days that differ only in which of two lab numbers is the hidden control: whoever may not know must get the same bytes
 * from both, whatever is asked.
 */
class HiddenControlsPageTest {
    private static final InventedDay ONE = InventedDay.of(110, Ashgrove.METHODS);
    private static final LabNumber CONTROL = Places.control(ONE);
    private static final LabNumber SOIL = Places.soil(ONE);
    private static final InventedDay OTHER = ONE.exchanged(CONTROL, SOIL, Ashgrove.METHODS);

    @Test
    void givesTheBenchTheSameBytesWhicheverLabNumberIsTheControl() {
        try (Ashgrove one = Ashgrove.open(ONE);
                Ashgrove other = Ashgrove.open(OTHER)) {
            assertThat(differences(one, other, PersonRole.BENCH, everywhere(one)))
                    .isEmpty();
            for (Ashgrove ashgrove : List.of(one, other)) {
                for (String cause : List.of(InventedDay.DRIFT, InventedDay.GATE)) {
                    HttpResponse<byte[]> answer = ashgrove.as(PersonRole.QUALITY)
                            .submit(
                                    "/causes",
                                    "/causes/act",
                                    Map.of("cause", cause, "evidence", InventedDay.EVIDENCE, "action", "order-redo"));
                    assertThat(answer.statusCode()).isEqualTo(303);
                }
            }
            assertThat(differences(one, other, PersonRole.BENCH, everywhere(one)))
                    .isEmpty();
        }
    }

    @Test
    void givesThePersonInChargeTheSameSoilTrayAndRun() {
        try (Ashgrove one = Ashgrove.open(ONE);
                Ashgrove other = Ashgrove.open(OTHER)) {
            List<String> places = new ArrayList<>();
            for (Route route : one.server().routes()) {
                if (route.verb() == Route.Verb.GET
                        && (route.path().startsWith("/soils")
                                || route.path().startsWith("/trays")
                                || route.path().startsWith("/runs")
                                || route.path().startsWith("/gates")
                                || route.path().startsWith("/causes"))) {
                    places.addAll(Places.all(route, ONE));
                }
            }
            assertThat(places).contains("/soils/" + CONTROL, "/soils/" + SOIL);
            assertThat(differences(one, other, PersonRole.IN_CHARGE, places)).isEmpty();
        }
    }

    /**
     * Where the laboratory gives its controls a submission like a client's, nothing that the person in charge or client service can open
     * depends on the key, submissions, releases, reports and what is found included.
     */
    @Test
    void givesWhoeverDoesNotSeeTheKeyTheSameBytesEverywhereWhereControlsCameAsSoils() {
        InventedDay day = ONE.withControlsAsSoils(Ashgrove.METHODS);
        try (Ashgrove one = Ashgrove.open(day);
                Ashgrove other = Ashgrove.open(day.withKeyExchanged(CONTROL, SOIL, Ashgrove.METHODS))) {
            for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.CLIENT_SERVICE, PersonRole.BENCH)) {
                // A preview is made of what the page of the release shows; the bytes of a PDF need not repeat.
                List<String> pages = everywhere(one).stream()
                        .filter(place -> !place.contains("/preview/"))
                        .toList();
                assertThat(differences(one, other, role, pages))
                        .as(role.phrase())
                        .isEmpty();
            }
            // The comparison is of pages that show something.
            String page = Browser.text(one.as(PersonRole.IN_CHARGE).get("/soils/" + CONTROL));
            assertThat(page).contains("Heron Field Dairy", "their “field");
            assertThat(Browser.text(one.as(PersonRole.QUALITY).get("/soils/" + CONTROL)))
                    .contains("hidden control, ");
        }
    }

    /** Lists trays and submissions as a program would: no lab number is in a tray and in no submission. */
    @Test
    void letsNobodyTellControlsByTraysLessSubmissionsWhereControlsCameAsSoils() {
        InventedDay day = ONE.withControlsAsSoils(Ashgrove.METHODS);
        try (Ashgrove one = Ashgrove.open(day)) {
            Browser browser = one.as(PersonRole.IN_CHARGE);
            Set<String> inTrays = numbers(browser, "/trays", "a[href*=/trays/]");
            Set<String> inSubmissions = numbers(browser, "/submissions", "main th a[href*=/submissions/]");
            assertThat(inTrays).hasSize(day.day().soils().size()).isEqualTo(inSubmissions);
            for (String number : inTrays) {
                assertThat(browser.page("/soils/" + number).select("p.lead").text())
                        .contains("submission SUB-", "due ", "their “");
            }
        }
    }

    /** Lab numbers on all pages that a list leads to. */
    private static Set<String> numbers(Browser browser, String list, String links) {
        Set<String> numbers = new TreeSet<>();
        for (String href : browser.page(list).select(links).eachAttr("href")) {
            numbers.addAll(browser.page(href).select("main a[href*=/soils/]").eachText());
        }
        return numbers;
    }

    @Test
    void hidesWhoseASoilIsWhereControlsHaveNoSubmission() {
        try (Ashgrove one = Ashgrove.open(ONE)) {
            assertThat(Browser.text(one.as(PersonRole.IN_CHARGE).get("/soils/" + SOIL)))
                    .doesNotContain("SUB-")
                    .doesNotContain("their “");
        }
    }

    @Test
    void givesClientServiceTheSameAnswerForAControlAsForANumberThatIsNotThere() {
        try (Ashgrove one = Ashgrove.open(ONE)) {
            Browser browser = one.as(PersonRole.CLIENT_SERVICE);
            HttpResponse<byte[]> control = browser.get("/find?q=" + CONTROL);
            String absent = LabNumber.of(InventedDay.DATE, 9999).text();
            HttpResponse<byte[]> nothing = browser.get("/find?q=" + absent);
            assertThat(control.statusCode()).isEqualTo(404);
            assertThat(Browser.text(control)).isEqualTo(Browser.text(nothing).replace(absent, CONTROL.text()));
            // Mistyped it is not named either: only a number that the visitor could open is.
            assertThat(Browser.text(browser.get("/find?q=" + mistyped(CONTROL.text()))))
                    .contains("check character is wrong")
                    .doesNotContain(CONTROL.text());
        }
    }

    private static String mistyped(String number) {
        char last = number.charAt(number.length() - 1);
        return number.substring(0, number.length() - 1) + (last == 'A' ? 'B' : 'A');
    }

    @Test
    void showsQualityWhichOneItIs() {
        try (Ashgrove one = Ashgrove.open(ONE);
                Ashgrove other = Ashgrove.open(OTHER)) {
            List<String> places = List.of("/controls", "/soils/" + CONTROL, "/runs/mehlich-1");
            assertThat(differences(one, other, PersonRole.QUALITY, places)).containsExactlyElementsOf(places);
            assertThat(one.as(PersonRole.QUALITY).page("/soils/" + CONTROL).text())
                    .contains("hidden control");
        }
    }

    @Test
    void saysNothingToTheBenchThatAControlLacks() {
        try (Ashgrove one = Ashgrove.open(ONE)) {
            Browser browser = one.as(PersonRole.BENCH);
            for (String place : everywhere(one)) {
                String text = Browser.text(browser.get(place));
                assertThat(text)
                        .as(place)
                        .doesNotContain(
                                "Furrow &amp; Field",
                                "Hollow Lane",
                                "Tern Bay",
                                ">redo<",
                                ">hold<",
                                "hidden control",
                                "z =");
                // The one thing said of a submission is the address or number that was asked for.
                assertThat(text.replace("“SUB-2201”", "").replace(place, ""))
                        .as(place)
                        .doesNotContain("SUB-");
            }
        }
    }

    private static List<String> everywhere(Ashgrove ashgrove) {
        List<String> places = new ArrayList<>();
        for (Route route : ashgrove.server().routes()) {
            if (route.verb() == Route.Verb.GET) {
                places.addAll(Places.all(route, ashgrove.invented()));
            }
        }
        places.add("/bench/" + CONTROL);
        places.add("/trays/" + SOIL);
        places.add("/nothing/" + CONTROL);
        return places;
    }

    private static List<String> differences(Ashgrove one, Ashgrove other, PersonRole role, List<String> places) {
        Browser first = one.as(role);
        Browser second = other.as(role);
        List<String> differing = new ArrayList<>();
        for (String place : places) {
            HttpResponse<byte[]> a = first.get(place);
            HttpResponse<byte[]> b = second.get(place);
            boolean same = a.statusCode() == b.statusCode()
                    && Browser.text(a).equals(Browser.text(b))
                    && a.headers().firstValue("Location").equals(b.headers().firstValue("Location"))
                    && a.headers()
                            .firstValue("Content-Length")
                            .equals(b.headers().firstValue("Content-Length"));
            if (!same) {
                differing.add(place);
            }
        }
        return differing;
    }
}
