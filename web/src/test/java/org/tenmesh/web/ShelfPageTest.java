package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.store.people.PersonRole;

final class ShelfPageTest {
    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private String soil(int tray, int place) {
        return ashgrove.invented().day().trays().get(tray).wells().stream()
                .flatMap(well -> well.labNumber().stream())
                .skip(place)
                .findFirst()
                .map(LabNumber::text)
                .orElseThrow();
    }

    private static String location(HttpResponse<byte[]> answer) {
        return answer.headers().firstValue("Location").orElse("none, status " + answer.statusCode());
    }

    @Test
    void oneFieldFindsASoilABoxAPlaceAListAClientAndADate() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(location(browser.get("/shelf?q=" + soil(0, 3).toLowerCase(java.util.Locale.ROOT))))
                .isEqualTo("/shelf/soils/" + soil(0, 3));
        assertThat(location(browser.get("/shelf?q=b-000001"))).isEqualTo("/shelf/boxes/B-000001");
        assertThat(location(browser.get("/shelf?q=D-261125-1"))).isEqualTo("/shelf/lists/D-261125-1");
        for (String asked : List.of("P-A1", "2026-10-20", "furrow", "SUB-2201")) {
            assertThat(browser.page("/shelf?q=" + asked).select("caption").text())
                    .as(asked)
                    .contains("Found for");
            assertThat(browser.page("/shelf?q=" + asked).text()).as(asked).contains("B-000001", "P-A1");
        }
        assertThat(browser.page("/shelf?q=" + soil(1, 0)).text()).contains("Nothing on the shelf is called");
        assertThat(browser.page("/shelf/soils/" + soil(0, 3)).text()).contains("P-A1", "B-000001", "may go since");
        // The bench knows no clients.
        assertThat(ashgrove.as(PersonRole.BENCH).page("/shelf?q=furrow").text())
                .contains("Nothing on the shelf is called")
                .doesNotContain("Furrow & Field");
    }

    @Test
    void soilsArePutAwayByScanningAndKeptApart() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        String box = location(bench.submit("/shelf", "/shelf/make", Map.of("what", "box", "kind", "ordinary")));
        assertThat(box).isEqualTo("/shelf/boxes/B-000002");
        assertThat(bench.submit(
                                box,
                                "/shelf/put",
                                Map.of("box", "B-000002", "soils", soil(1, 0) + "\n" + soil(1, 1) + "\n" + soil(1, 0)))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page(box).text()).contains("2 soils in it", soil(1, 0), soil(1, 1));
        HttpResponse<byte[]> bad =
                bench.submit(box, "/shelf/put", Map.of("box", "B-000002", "soils", soil(1, 2) + " nothing"));
        assertThat(bad.statusCode()).isEqualTo(409);
        assertThat(Browser.text(bad)).contains("There is no soil nothing", "Nothing was done");
        assertThat(bench.page(box).text()).contains("2 soils in it");
        bench.submit("/shelf", "/shelf/make", Map.of("what", "place", "code", "p-r1", "kind", "regulated"));
        HttpResponse<byte[]> wrong = bench.submit(box, "/shelf/place-box", Map.of("box", "B-000002", "place", "P-R1"));
        assertThat(wrong.statusCode()).isEqualTo(409);
        assertThat(Browser.text(wrong)).contains("kept apart");
        assertThat(bench.submit(box, "/shelf/place-box", Map.of("box", "B-000002", "place", "p-a1"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page(box).text()).contains("Stands at P-A1");
        bench.submit("/shelf", "/shelf/make", Map.of("what", "place", "code", "p-a9", "kind", "ordinary"));
        assertThat(bench.submit(box, "/shelf/place-box", Map.of("box", "B-000002", "place", "p-a9"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page(box).select("[aria-labelledby=stood] tbody tr").eachText())
                .as("the place before stays in sight (DI-3)")
                .hasSize(3)
                .anyMatch(line -> line.contains("box put in its place P-A1 " + Ashgrove.name(PersonRole.BENCH)))
                .anyMatch(line -> line.contains("box put in its place P-A9 " + Ashgrove.name(PersonRole.BENCH)));
        bench.submit("/shelf/boxes/B-000001", "/shelf/put", Map.of("box", "B-000001", "soils", soil(1, 0)));
        assertThat(bench.page("/shelf/soils/" + soil(1, 0)).text())
                .as("and the box before")
                .contains("put in a box B-000002", "put in a box B-000001");
        bench.submit("/shelf", "/shelf/make", Map.of("what", "box", "kind", "regulated"));
        assertThat(Browser.text(bench.submit(
                        "/shelf/boxes/B-000003", "/shelf/put", Map.of("box", "B-000003", "soils", soil(1, 2)))))
                .contains("ordinary soil and box B-000003 is for regulated soil");
    }

    @Test
    void whatIsLentOverdueIsTold() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        String soil = soil(0, 2);
        String page = "/shelf/soils/" + soil;
        assertThat(bench.submit(page, "/shelf/loan", Map.of("soil", soil, "to", "N. Okafor", "until", "2026-11-24"))
                        .statusCode())
                .isEqualTo(409);
        assertThat(bench.submit(page, "/shelf/loan", Map.of("soil", soil, "to", "N. Okafor", "until", "2026-11-25"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page("/shelf").text()).contains("lent to N. Okafor", "in time");
        assertThat(bench.submit(page, "/shelf/loan", Map.of("soil", soil, "what", "returned"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page(page).text()).contains("returned", "on the shelf");
    }

    @Test
    void oneLineSaysWhatIsOverlookedAndOnlyWhereSomethingIs() {
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        // Everything that may go is on the list that is open.
        assertThat(charge.page("/shelf").select("#overlooked")).isEmpty();
        String box = location(charge.submit("/shelf", "/shelf/make", Map.of("what", "box", "kind", "ordinary")));
        charge.submit(box, "/shelf/put", Map.of("box", "B-000002", "soils", soil(1, 0)));
        assertThat(charge.page("/shelf").select("#overlooked").text())
                .isEqualTo("1 box holds soil that was kept for 28 days and is on no open discard list: B-000002: make a"
                        + " list.");
        charge.submit(
                "/shelf/soils/" + soil(1, 0),
                "/shelf/hold",
                Map.of("soil", soil(1, 0), "to", "complaint", "reason", "client rang"));
        assertThat(charge.page("/shelf").select("#overlooked"))
                .as("what is held is not overdue")
                .isEmpty();

        ashgrove.book()
                .shelf()
                .keep(
                        List.of(new ShelfAct(
                                ShelfAct.What.LENT,
                                soil(0, 1),
                                "N. Okafor",
                                Optional.of(LocalDate.of(2026, 11, 24)),
                                false,
                                "",
                                "test",
                                Ashgrove.CLOCK.instant().minus(Duration.ofDays(9)))),
                        ZoneOffset.UTC);
        assertThat(charge.page("/shelf").select("#overlooked").text())
                .isEqualTo("1 loan is overdue: see what is lent.");
        ashgrove.book()
                .shelf()
                .know(
                        List.of(new Soil(
                                new LabNumber(soil(0, 2)),
                                Optional.empty(),
                                OptionalInt.empty(),
                                Optional.empty(),
                                OptionalDouble.empty(),
                                OptionalDouble.empty(),
                                Optional.empty(),
                                Optional.of(true))),
                        Map.of());
        assertThat(charge.page("/shelf").select("#overlooked a").eachAttr("href"))
                .containsExactly("/shelf?q=P-A1", "#lent");
        assertThat(charge.page("/shelf").select("#overlooked").text())
                .startsWith("Regulated and ordinary soil stand together at P-A1: see P-A1.");
    }

    @Test
    void aListIsScannedSignedAndWhatWasNotScannedStays() {
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        String page = "/shelf/lists/D-261125-1";
        String held = soil(0, 1);
        charge.submit(
                "/shelf/soils/" + held,
                "/shelf/hold",
                Map.of("soil", held, "to", "complaint", "reason", "client rang"));
        HttpResponse<byte[]> stranger =
                charge.submit(page, "/shelf/scan", Map.of("list", "D-261125-1", "code", soil(1, 0)));
        assertThat(Browser.text(stranger)).contains("is not on this list");
        for (String seen : List.of(soil(0, 0), held)) {
            assertThat(ashgrove.as(PersonRole.BENCH)
                            .submit(page, "/shelf/scan", Map.of("list", "D-261125-1", "code", seen))
                            .statusCode())
                    .isEqualTo(303);
        }
        assertThat(Browser.text(charge.submit(
                        page, "/shelf/sign", Map.of("list", "D-261125-1", "password", "wrong wrong wrong"))))
                .contains("not your password", "nothing was discarded");
        assertThat(charge.submit(page, "/shelf/sign", Map.of("list", "D-261125-1", "password", Ashgrove.PASSWORD))
                        .statusCode())
                .isEqualTo(303);
        assertThat(charge.page(page).text()).contains("Signed by", "1 discarded");
        assertThat(charge.page("/shelf/soils/" + soil(0, 0)).text()).contains("discarded");
        assertThat(charge.page("/shelf/soils/" + held).text()).contains("on the shelf", "complaint");
        assertThat(charge.page("/shelf/soils/" + soil(0, 4)).text()).contains("on the shelf");
        assertThat(charge.submit(page, "/shelf/sign", Map.of("list", "D-261125-1", "password", Ashgrove.PASSWORD))
                        .statusCode())
                .isNotEqualTo(303);
    }

    /** A clock that is a year ahead makes every soil due; what is thrown away does not come back. */
    @Test
    void nothingIsDiscardedWhileTheDateIsInDoubt() {
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        String page = "/shelf/lists/D-261125-1";
        charge.submit(page, "/shelf/scan", Map.of("list", "D-261125-1", "code", soil(0, 0)));
        Map<String, String> form = Map.of("list", "D-261125-1", "password", Ashgrove.PASSWORD);
        ashgrove.book().doubtClock(Optional.of("the server's clock was moved by 365 days"));
        HttpResponse<byte[]> refused = charge.submit(page, "/shelf/sign", form);
        assertThat(refused.statusCode()).isEqualTo(409);
        assertThat(Browser.text(refused)).contains("nothing was discarded", "in doubt", "moved by 365 days");
        assertThat(charge.page("/shelf/soils/" + soil(0, 0)).text()).contains("on the shelf");
        ashgrove.book().doubtClock(Optional.empty());
        assertThat(charge.submit(page, "/shelf/sign", form).statusCode()).isEqualTo(303);
    }

    /** What was held after looking back may have to be read again. */
    @Test
    void aListSaysOfEachSoilThatIsDueAndKeptOffItWhyAndUntilWhen() {
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        String held = soil(0, 1);
        String lent = soil(0, 2);
        charge.submit(
                "/shelf/soils/" + held,
                "/shelf/hold",
                Map.of("soil", held, "to", "complaint", "until", "2026-12-20", "reason", "client rang"));
        charge.submit(
                "/shelf/soils/" + lent, "/shelf/loan", Map.of("soil", lent, "to", "N. Okafor", "until", "2026-12-03"));
        String page = location(charge.submit("/shelf", "/shelf/list", Map.of("day", "2026-11-25")));
        assertThat(page).startsWith("/shelf/lists/");
        for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH)) {
            assertThat(ashgrove.as(role)
                            .page(page)
                            .select("[aria-labelledby=kept] tbody tr")
                            .eachText())
                    .as(role.phrase())
                    .anyMatch(line -> line.startsWith(held + " B-000001 P-A1 Complaint until 2026-12-20 "))
                    .anyMatch(line -> line.startsWith(
                            lent + " B-000001 P-A1 Lent to N. Okafor, back on 2026-12-03 Thu 3 Dec 2026"))
                    .noneMatch(line -> line.startsWith(soil(0, 0)));
        }
    }

    @Test
    void whatIsHeldAfterLookingBackIsKept() {
        Result held = ashgrove.invented().judged().results().stream()
                .filter(result ->
                        result.position() > 0 && result.labNumber().text().equals(soil(0, 0)))
                .findFirst()
                .orElseThrow();
        ashgrove.book()
                .equipment()
                .lay(new Hold(
                        1,
                        "an instrument",
                        "the pump leaked",
                        List.of(new Hold.Span(
                                InventedDay.DATE.toString(), held.run(), held.position(), held.position())),
                        "invented quality",
                        Instant.EPOCH,
                        Optional.empty()));
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        String page = "/shelf/lists/D-261125-1";
        String kept = "something of it is held";
        assertThat(charge.page(page).text()).contains(kept);
        charge.submit(page, "/shelf/scan", Map.of("list", "D-261125-1", "code", soil(0, 0)));
        charge.submit(page, "/shelf/sign", Map.of("list", "D-261125-1", "password", Ashgrove.PASSWORD));
        assertThat(charge.page("/shelf/soils/" + soil(0, 0)).text()).doesNotContain("discarded");
        try (Ashgrove other = Ashgrove.open(60)) {
            assertThat(other.as(PersonRole.IN_CHARGE).page(page).text()).doesNotContain(kept);
        }
    }

    @Test
    void boxesAndPlacesHaveLabels() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        for (String of : List.of("B-000001", "P-A1", "B-000001 - B-000009")) {
            HttpResponse<byte[]> file = bench.submit(
                    "/labels",
                    "/labels/file",
                    Map.of("kind", "shelf", "sheet", "A4, 3 x 8", "of", of, "reason", "for a test"));
            assertThat(file.headers().firstValue("Content-Type")).as(of).contains("application/pdf");
        }
        assertThat(Browser.text(bench.submit(
                        "/labels", "/labels/file", Map.of("kind", "shelf", "sheet", "A4, 3 x 8", "of", "B-000777"))))
                .contains("Nothing of that name");
    }

    @Test
    void anOrderForATrayThatWasDumpedNamesTheBoxAndThePlace() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        quality.submit(
                "/causes",
                "/causes/act",
                Map.of("cause", InventedDay.DRIFT, "evidence", InventedDay.EVIDENCE, "action", "order-redo"));
        Browser bench = ashgrove.as(PersonRole.BENCH);
        String tray = ashgrove.invented().day().trays().get(0).tray();
        assertThat(bench.page("/bench/" + tray).text()).doesNotContain("Fetch from the shelf");
        String page = "/shelf/trays/" + tray;
        assertThat(location(bench.get("/shelf?q=" + tray))).isEqualTo(page);
        assertThat(bench.page(page).text()).contains("ordered to be made again", "B-000001 at P-A1");
        assertThat(bench.submit(page, "/shelf/dump", Map.of("tray", tray)).statusCode())
                .isEqualTo(409);
        assertThat(bench.submit(page, "/shelf/dump", Map.of("tray", tray, "confirmed", "yes"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(bench.page(page).text()).contains("Dumped");
        String work = bench.page("/bench/" + tray).text();
        assertThat(work)
                .contains("Fetch from the shelf", "B-000001 at P-A1", "into its own well", "no limit for stored soil");
        // What is listed now is kept, since an order waits for it.
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .page("/shelf/lists/D-261125-1")
                        .text())
                .contains("something of it is held or ordered to be made again");
    }
}
