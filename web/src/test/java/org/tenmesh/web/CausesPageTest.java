package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

class CausesPageTest {
    private static final String CARD = "#cause-" + Words.anchor(InventedDay.DRIFT);

    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> act(Browser browser, String cause, String action, String reason) {
        return browser.submit(
                "/causes",
                "/causes/act",
                Map.of(
                        "cause",
                        cause,
                        "evidence",
                        InventedDay.EVIDENCE,
                        "action",
                        action,
                        "reason",
                        reason,
                        "back",
                        "/causes"));
    }

    @Test
    void saysWhatElseItCouldBe() {
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .page("/causes")
                        .expectFirst(CARD)
                        .text())
                .contains(
                        "Next best explanation: one standard is not what its label says, 2.5 times less likely; the two"
                                + " cannot be distinguished below 10 to 1.");
    }

    @Test
    void ordersARedoThatTheBenchSeesByWholeTray() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(act(inCharge, InventedDay.DRIFT, "order-redo", "").statusCode())
                .isEqualTo(303);
        assertThat(inCharge.page("/causes").expectFirst(CARD).text())
                .contains("Redo ordered by invented in charge, 25 Nov 2026 13:42");
        String tray = ashgrove.server()
                .currentDay()
                .desk()
                .orElseThrow()
                .traysOf(ashgrove.server()
                        .currentDay()
                        .desk()
                        .orElseThrow()
                        .cause(InventedDay.DRIFT)
                        .orElseThrow())
                .get(0);
        Document bench = ashgrove.as(PersonRole.BENCH).page("/bench");
        assertThat(bench.select("a[href$=/bench/" + tray + "]").text()).contains("check reading: Mehlich-3");
        assertThat(ashgrove.as(PersonRole.BENCH).page("/bench/" + tray).text())
                .contains(
                        "Check reading: read the kept extracts of the whole tray again and take nothing from the wells",
                        "(ordered 25 Nov 2026 13:42).");
        assertThat(ashgrove.book().journal(1).get(0).what()).isEqualTo("cause-acted");
    }

    @Test
    void saysWhatAnOrderWillMakeTheBenchDoBeforeItIsGiven() {
        Document order = ashgrove.as(PersonRole.IN_CHARGE).page("/causes/" + Words.part(InventedDay.DRIFT) + "/order");
        assertThat(order.expectFirst("h1").text()).isEqualTo("Order this redo?");
        Element row = order.expectFirst("tbody tr");
        assertThat(row.expectFirst("th").text()).contains("Mehlich-3");
        assertThat(row.select("td").get(0).text()).isEqualTo("check reading");
        assertThat(row.select("td").get(1).text()).isEqualTo("the kept extract");
        Desk desk = ashgrove.server().currentDay().desk().orElseThrow();
        long soils = desk.traysOf(desk.cause(InventedDay.DRIFT).orElseThrow()).stream()
                .flatMap(tray -> desk.tray(tray).orElseThrow().wells().stream())
                .filter(place -> place.labNumber().isPresent())
                .count();
        assertThat(row.select("td").get(2).text()).isEqualTo(Long.toString(soils));
        assertThat(ashgrove.book().actions("")).isEmpty();
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .get("/causes/nothing/order")
                        .statusCode())
                .isEqualTo(404);
    }

    @Test
    void takesAnOrderAndAnAcceptanceBack() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(act(inCharge, InventedDay.DRIFT, "withdraw", "").statusCode())
                .as("nothing was decided")
                .isEqualTo(409);
        long redo = redo();
        act(inCharge, InventedDay.DRIFT, "order-redo", "");
        assertThat(ashgrove.as(PersonRole.BENCH).page("/bench").text()).contains("check reading: Mehlich-3");
        assertThat(inCharge.page("/causes").expectFirst(CARD).select("button").text())
                .contains("Withdraw");
        assertThat(act(inCharge, InventedDay.DRIFT, "withdraw", "").statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.BENCH).page("/bench").text()).doesNotContain("check reading: Mehlich-3");
        assertThat(inCharge.page("/causes").expectFirst(CARD).text())
                .contains("Redo ordered by", "Decision withdrawn by", "Order the redo");
        act(inCharge, InventedDay.DRIFT, "accept", "checked against a third standard");
        assertThat(redo()).isZero();
        act(inCharge, InventedDay.DRIFT, "withdraw", "");
        assertThat(redo()).isEqualTo(redo);
    }

    @Test
    void acceptsOnlyWithAReasonAndThenLetsTheNumbersStand() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        HttpResponse<byte[]> refused = act(quality, InventedDay.DRIFT, "accept", "  ");
        assertThat(refused.statusCode()).isEqualTo(400);
        assertThat(Browser.text(refused)).contains("not done yet. Give a reason");
        assertThat(ashgrove.book().actions("")).isEmpty();
        long before = redo();
        assertThat(before).isGreaterThan(0);
        assertThat(act(quality, InventedDay.DRIFT, "accept", "checked against a third standard")
                        .statusCode())
                .isEqualTo(303);
        assertThat(redo()).isZero();
        assertThat(quality.page("/causes").expectFirst(CARD).text()).contains("checked against a third standard");
    }

    private long redo() {
        return ashgrove.server().currentDay().desk().orElseThrow().promises().stream()
                .mapToInt(Promise::redo)
                .sum();
    }

    @Test
    void shutsAGateByHandAndOpensItAgain() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        act(quality, InventedDay.DRIFT, "shut-gate", "torch to be changed");
        assertThat(quality.page("/gates")
                        .expectFirst("section:has(#gate-plasma-1)")
                        .text())
                .contains("shut", "shut by invented quality, 25 Nov 2026 13:42: torch to be changed");
        act(quality, InventedDay.DRIFT, "open-gate", "torch changed");
        assertThat(quality.page("/gates").expectFirst("#gate-plasma-1").text()).contains("open");
    }

    @Test
    void shutsTheGateOfAnInstrumentWithoutACauseAndTellsTheBench() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Element gate = quality.page("/gates").expectFirst("section:has(#gate-pH-robot-1)");
        Map<String, String> form = new HashMap<>();
        gate.select("form input[type=hidden]").forEach(input -> form.put(input.attr("name"), input.val()));
        form.put("reason", "electrode to be changed");
        assertThat(quality.post("/causes/act", form).statusCode()).isEqualTo(303);
        assertThat(quality.page("/gates")
                        .expectFirst("section:has(#gate-pH-robot-1)")
                        .text())
                .contains("shut by invented quality", "electrode to be changed");
        Desk desk = ashgrove.server().currentDay().desk().orElseThrow();
        assertThat(desk.lapsed()).isEmpty();
        String waiting = desk.day().trays().get(desk.day().trays().size() - 1).tray();
        quality.submit(
                "/gates",
                "/causes/act",
                Map.of("cause", "instrument@plasma 1", "evidence", "", "action", "shut-gate", "reason", "torch"));
        assertThat(ashgrove.as(PersonRole.BENCH).page("/bench/" + waiting).text())
                .contains("plasma 1 may not run: shut by invented quality");
        form.put("action", "open-gate");
        assertThat(quality.post("/causes/act", form).statusCode()).isEqualTo(303);
        assertThat(quality.page("/gates").expectFirst("#gate-pH-robot-1").text())
                .contains("open");
    }

    @Test
    void keepsAGateShutThatVersion01ShutUntilSomebodyOpensIt() {
        ashgrove.book()
                .act(
                        "2026-11-25",
                        new Grounds("mehlich-1.drift.1", "", "", "", 0),
                        Action.SHUT_GATE,
                        "torch to be changed",
                        "M. Whelan",
                        Ashgrove.CLOCK.instant());
        ashgrove.server().currentDay().renew();
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Element gate = quality.page("/gates").expectFirst("section:has(#gate-plasma-1)");
        assertThat(gate.text()).contains("shut by M. Whelan", "torch to be changed");
        Map<String, String> form = new HashMap<>();
        gate.select("form input[type=hidden]").forEach(input -> form.put(input.attr("name"), input.val()));
        form.put("reason", "torch changed");
        assertThat(quality.post("/causes/act", form).statusCode()).isEqualTo(303);
        assertThat(quality.page("/gates").expectFirst("#gate-plasma-1").text()).contains("open");
    }

    @Test
    void listsAnOpeningThatHasLapsed() {
        Cause drift = ashgrove.server()
                .currentDay()
                .desk()
                .orElseThrow()
                .cause(InventedDay.DRIFT)
                .orElseThrow();
        Grounds before = new Grounds(drift.id(), "0".repeat(64), drift.run(), "Checks read 101 and 96 %.", 4);
        for (Action action : List.of(Action.SHUT_GATE, Action.OPEN_GATE)) {
            ashgrove.book().act("2026-11-25", before, action, "as seen", "M. Whelan", Ashgrove.CLOCK.instant());
        }
        ashgrove.server().currentDay().renew();
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.page("/gates")
                        .expectFirst("section:has(#gate-plasma-1)")
                        .text())
                .contains("shut by M. Whelan");
        assertThat(quality.page("/causes").expectFirst("article.lapsed").text())
                .contains("Gate opened by M. Whelan", "The evidence is other now");
    }

    @Test
    void saysSoWhenTheCauseIsNoLongerThere() {
        HttpResponse<byte[]> answer = act(ashgrove.as(PersonRole.QUALITY), "gone.drift.1", "order-redo", "");
        assertThat(answer.statusCode()).isEqualTo(409);
        assertThat(Browser.text(answer)).contains("Nothing was done");
    }

    @Test
    void tellsAnOpenPageThatTheDayHasChanged() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        String version = quality.page("/today").expectFirst("html").attr("data-version");
        assertThat(Browser.text(quality.get("/live"))).isEqualTo(version);
        act(quality, InventedDay.GATE, "order-redo", "");
        assertThat(Browser.text(quality.get("/live"))).isNotEqualTo(version);
    }

    @Test
    void tellsAPageThatListensAtOnce() throws InterruptedException {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        BlockingQueue<String> lines = quality.listen("/live");
        String first = next(lines);
        act(quality, InventedDay.GATE, "order-redo", "");
        String second = next(lines);
        assertThat(Long.parseLong(second)).isEqualTo(Long.parseLong(first) + 1);
        assertThat(Browser.text(quality.get("/live"))).isEqualTo(second);
    }

    private static String next(BlockingQueue<String> lines) throws InterruptedException {
        while (true) {
            String line = lines.poll(15, TimeUnit.SECONDS);
            assertThat(line).as("a line within 15 s").isNotNull();
            if (String.valueOf(line).startsWith("data: ")) {
                return String.valueOf(line).substring(6);
            }
        }
    }

    @Test
    void putsTheCostliestFirstAndShowsThePrice() {
        Document today = ashgrove.as(PersonRole.IN_CHARGE).page("/today");
        assertThat(today.select("article.cause-row h3").eachText().get(0))
                .contains("redo", "Drift along the run: potassium and magnesium, plasma 1");
        assertThat(today.expectFirst("article.cause-row").text()).contains("6 lab numbers in 1 tray", "odds 10⁶ to 1");
    }
}
