package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.store.people.PersonRole;

class OrdersPageTest {
    private static final InventedDay ONE = stated(InventedDay.of(110, Ashgrove.METHODS));
    private Ashgrove ashgrove;

    /** With a content of its open control soil, without which no order would be made. */
    private static InventedDay stated(InventedDay base) {
        Day day = base.day();
        List<Material> materials = new ArrayList<>(day.materials());
        materials.add(
                new Material("clay", "mehlich3-icp", "P", 40, 2, Unit.MILLIGRAM_PER_KILOGRAM, OptionalInt.of(40)));
        return new InventedDay(
                new Day(
                        day.laboratory(),
                        day.submissions(),
                        day.soils(),
                        day.trays(),
                        day.controls(),
                        materials,
                        day.standards(),
                        day.runs(),
                        day.packages(),
                        day.shortages()),
                base.judged());
    }

    @Test
    void anOrderThatTheJudgeWouldHoldIsNotMadeAndTheReasonIsTold() {
        try (Ashgrove bare = Ashgrove.open(InventedDay.of(110, Ashgrove.METHODS))) {
            orderRedo(bare);
            HttpResponse<byte[]> answer = bare.as(PersonRole.BENCH)
                    .submit("/orders", "/orders/make", Map.of("method", "mehlich3-icp", "instrument", "plasma 1"));
            assertThat(answer.statusCode()).isEqualTo(409);
            assertThat(Browser.text(answer))
                    .contains("No order was made.", "open control soil of known content for Mehlich-3");
            assertThat(bare.book().runOrders(10)).hasSize(1);
        }
    }

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(ONE);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private static void orderRedo(Ashgrove ashgrove) {
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .submit(
                                "/causes",
                                "/causes/act",
                                Map.of(
                                        "cause",
                                        InventedDay.DRIFT,
                                        "evidence",
                                        InventedDay.EVIDENCE,
                                        "action",
                                        "order-redo"))
                        .statusCode())
                .isEqualTo(303);
    }

    /** Makes the order of the instrument that reads Mehlich-3 and gives its address. */
    private static String made(Ashgrove ashgrove, PersonRole role) {
        Browser browser = ashgrove.as(role);
        Document list = browser.page("/orders");
        var row = list.select("tbody tr").stream()
                .filter(one -> one.text().contains("Mehlich-3"))
                .findFirst()
                .orElseThrow();
        HttpResponse<byte[]> answer = browser.submit(
                "/orders",
                "/orders/make",
                Map.of(
                        "method", row.expectFirst("input[name=method]").val(),
                        "instrument", row.expectFirst("input[name=instrument]").val()));
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
        return answer.headers().firstValue("Location").orElseThrow();
    }

    @Test
    void whatACauseOrderedGetsAPlaceInTheNextRunOrderAndTheFileOfTheInstrument() {
        orderRedo(ashgrove);
        String address = made(ashgrove, PersonRole.BENCH);
        Browser bench = ashgrove.as(PersonRole.BENCH);
        Document page = bench.page(address);
        assertThat(page.expectFirst("h1").text()).startsWith("Run order ");
        assertThat(page.select("tbody tr").eachText())
                .anyMatch(row -> row.contains("standard"))
                .anyMatch(row -> row.contains("verification"))
                .anyMatch(row -> row.contains("blank"))
                .anyMatch(row -> row.contains("control"))
                .anyMatch(row -> row.contains("sample"));
        String csv = Browser.text(bench.get(address + "/file"));
        assertThat(csv.lines().findFirst().orElseThrow()).isEqualTo("position,role,identity,channel,dilution,portion");
        assertThat(csv.lines().count() - 1).isEqualTo(page.select("tbody tr").size());
        List<String> ordered = ashgrove.server()
                .currentDay()
                .desk()
                .orElseThrow()
                .traysOf(ashgrove.server()
                        .currentDay()
                        .desk()
                        .orElseThrow()
                        .cause(InventedDay.DRIFT)
                        .orElseThrow());
        String first =
                ashgrove.server().currentDay().desk().orElseThrow().tray(ordered.get(0)).orElseThrow().wells().stream()
                        .flatMap(place -> place.labNumber().stream())
                        .map(LabNumber::text)
                        .findFirst()
                        .orElseThrow();
        assertThat(csv).contains("sample," + first);
    }

    @Test
    void aSoilWaitsInOneOrderAndComesBackWhenThatIsCancelled() {
        orderRedo(ashgrove);
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        String before = inCharge.page("/orders").text();
        String address = made(ashgrove, PersonRole.IN_CHARGE);
        assertThat(inCharge.page("/orders").text())
                .contains("waits for its run")
                .isNotEqualTo(before);
        String name = address.substring("/orders/".length());
        assertThat(inCharge.submit(address, "/orders/cancel", Map.of("order", name, "reason", " "))
                        .statusCode())
                .isEqualTo(409);
        assertThat(inCharge.submit(address, "/orders/cancel", Map.of("order", name, "reason", "argon ran out"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(inCharge.page("/orders").text()).contains("cancelled", "argon ran out");
        assertThat(made(ashgrove, PersonRole.QUALITY)).isNotEqualTo(address);
        assertThat(ashgrove.as(PersonRole.CLIENT_SERVICE).get("/orders").statusCode())
                .isEqualTo(404);
        assertThat(ashgrove.as(PersonRole.AUDITOR)
                        .submit("/orders", "/orders/make", Map.of("method", "x", "instrument", "y"))
                        .statusCode())
                .isEqualTo(404);
    }

    @Test
    void anOrderIsTheSameWhicheverLabNumberIsTheControl() {
        LabNumber control = Places.control(ONE);
        LabNumber soil = Places.soil(ONE);
        try (Ashgrove other = Ashgrove.open(stated(ONE.exchanged(control, soil, Ashgrove.METHODS)))) {
            orderRedo(ashgrove);
            orderRedo(other);
            for (PersonRole role : List.of(PersonRole.BENCH, PersonRole.IN_CHARGE)) {
                assertThat(ashgrove.as(role).page("/orders").text())
                        .isEqualTo(other.as(role).page("/orders").text());
            }
            String address = made(ashgrove, PersonRole.BENCH);
            assertThat(made(other, PersonRole.BENCH)).isEqualTo(address);
            assertThat(Browser.text(ashgrove.as(PersonRole.BENCH).get(address + "/file")))
                    .isEqualTo(Browser.text(other.as(PersonRole.BENCH).get(address + "/file")));
            assertThat(ashgrove.as(PersonRole.BENCH).page(address).text())
                    .isEqualTo(other.as(PersonRole.BENCH).page(address).text());
        }
    }
}
