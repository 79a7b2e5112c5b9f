package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.store.people.PersonRole;

/** Lots and equipment from their registration to results that they hold, and the look back with its hold. */
class LotsPageTest {
    private static Ashgrove ashgrove;

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    private static Document submitted(Browser browser, String from, String path, Map<String, String> form) {
        return Jsoup.parse(Browser.text(browser.submit(from, path, form)));
    }

    private static Map<String, String> lot(String name, String expires) {
        Map<String, String> form = new HashMap<>();
        form.put("name", name);
        form.put("kind", "extractant");
        form.put("for", "Mehlich 3");
        form.put("method", "mehlich3-icp");
        form.put("source", "prepared at the bench");
        form.put("received", "2026-10-01");
        form.put("expires", expires);
        return form;
    }

    @Test
    void keepsWhatWasTypedWhereALotCannotBe() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        Map<String, String> form = lot("M3-1", "2026-09-30");
        form.put("contents", "P 10 mg");
        Document page = submitted(bench, "/lots", "/lots", form);
        assertThat(page.select(".notice.wrong").text()).contains("Nothing was stored", "content \"P 10 mg\"");
        assertThat(page.expectFirst("#name").val()).isEqualTo("M3-1");
        assertThat(page.expectFirst("#contents").val()).isEqualTo("P 10 mg");
        form.put("contents", "");
        page = submitted(bench, "/lots", "/lots", form);
        assertThat(page.select(".notice.wrong").text()).contains("before it was received");
    }

    @Test
    void holdsWhatAnExpiredExtractantWasUsedForUntilSomebodyLetsItStand() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(bench.submit("/lots", "/lots", lot("M3-44", "2026-11-20")).statusCode())
                .isEqualTo(303);
        // A scan opens it.
        assertThat(bench.get("/lots?q=M3-44").headers().firstValue("Location").orElse(""))
                .endsWith("/lots/M3-44");
        LabNumber soil = Places.soil(ashgrove.invented());
        String tray = ashgrove.invented().day().trays().stream()
                .filter(one -> one.wells().stream()
                        .anyMatch(
                                place -> place.labNumber().filter(soil::equals).isPresent()))
                .findFirst()
                .orElseThrow()
                .tray();
        Map<String, String> use = new HashMap<>(
                Map.of("kind", "lot", "name", "M3-44", "codes", "T-NOT-THERE", "method", "", "at", "2026-11-25T06:00"));
        Document refused = submitted(bench, "/lots/M3-44", "/lots/use", use);
        assertThat(refused.select(".notice.wrong").text()).contains("is no tray and no run");
        use.put("codes", tray);
        assertThat(bench.submit("/lots/M3-44", "/lots/use", use).statusCode()).isEqualTo(303);

        String page = quality.page("/soils/" + soil.text()).text();
        assertThat(page).contains("Held. Lot M3-44 (noted for tray " + tray + "): expired on 2026-11-20.");
        Document lot = quality.page("/lots/M3-44");
        assertThat(lot.select("#on-day + .card").text()).contains("held", "expired on 2026-11-20");
        assertThat(bench.page("/lots/M3-44").select("form[action$=let-stand]")).isEmpty();

        quality.submit(
                "/lots/M3-44",
                "/lots/let-stand",
                Map.of(
                        "kind",
                        "lot",
                        "name",
                        "M3-44",
                        "finding",
                        "expired on 2026-11-20",
                        "reason",
                        "blank and controls agree"));
        page = quality.page("/soils/" + soil.text()).text();
        assertThat(page)
                .contains("Let stand by invented quality: blank and controls agree")
                .doesNotContain("Held. Lot");
    }

    /** The one scan at the bench that joins the bottle to the runs of the tray. */
    @Test
    void keepsTheLotThatWasPouredWithItsStepAndWithTheTray() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        assertThat(bench.submit("/lots", "/lots", lot("M3-POUR", "2027-01-31")).statusCode())
                .isEqualTo(303);
        assertThat(bench.submit("/lots", "/lots", lot("M3-OLD", "2026-11-20")).statusCode())
                .isEqualTo(303);
        Map<String, String> olsen = lot("OLSEN-1", "2027-01-31");
        olsen.put("method", "p-olsen");
        olsen.put("for", "sodium bicarbonate");
        assertThat(bench.submit("/lots", "/lots", olsen).statusCode()).isEqualTo(303);
        String tray = ashgrove.invented().day().trays().get(3).tray();
        String page = "/bench/" + tray;
        Map<String, String> note = new HashMap<>(
                Map.of("kind", "tray", "code", tray, "what", "done", "step", "mehlich3.pour", "confirmed", "yes"));
        note.put("lot", "M3-NOBODY-KNOWS");
        assertThat(Browser.text(bench.submit(page, "/bench-acts", note))).contains("no lot M3-NOBODY-KNOWS");
        note.put("lot", "OLSEN-1");
        assertThat(Browser.text(bench.submit(page, "/bench-acts", note))).contains("is for p-olsen");
        note.put("lot", Ashgrove.LOT);
        assertThat(Browser.text(bench.submit(page, "/bench-acts", note))).contains("nothing was noted");
        note.put("lot", "M3-OLD");
        note.remove("confirmed");
        assertThat(Browser.text(bench.submit(page, "/bench-acts", note)))
                .contains("Lot M3-OLD expired on 2026-11-20", "Go on anyway?");
        assertThat(ashgrove.book().equipment().all().register().usesOf(Thing.lot("M3-OLD")))
                .isEmpty();
        note.put("lot", "M3-POUR");
        note.put("confirmed", "yes");
        note.put("id", "poured-0001");
        assertThat(bench.submit(page, "/bench-acts", note).statusCode()).isEqualTo(303);
        // A tablet without network sends it again: it is one use.
        assertThat(bench.submit(page, "/bench-acts", note).statusCode()).isEqualTo(303);
        List<Use> uses = ashgrove.book().equipment().all().register().usesOf(Thing.lot("M3-POUR"));
        assertThat(uses)
                .singleElement()
                .satisfies(use -> assertThat(List.of(use.place().word(), use.code(), use.method()))
                        .containsExactly("tray", tray, "mehlich3-icp"));
        Document shown = bench.page(page);
        assertThat(shown.select(".last").text()).contains("Pour: done", "M3-POUR");
        assertThat(Browser.text(bench.submit(
                        page,
                        "/bench-acts",
                        Map.of(
                                "kind",
                                "tray",
                                "code",
                                tray,
                                "act",
                                "poured-0001",
                                "why",
                                "wrong tray",
                                "answer",
                                "json"))))
                .contains("Lot M3-POUR stays noted for the tray until another is scanned");
    }

    @Test
    void findsALotAndAPieceOfEquipmentByTheirLabels() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        assertThat(bench.get("/find?q=" + Ashgrove.LOT)
                        .headers()
                        .firstValue("Location")
                        .orElse(""))
                .endsWith("/lots/" + Ashgrove.LOT);
        assertThat(bench.get("/find?q=" + Ashgrove.PIPETTE)
                        .headers()
                        .firstValue("Location")
                        .orElse(""))
                .endsWith("/equipment/" + Ashgrove.PIPETTE);
        assertThat(ashgrove.as(PersonRole.CLIENT_SERVICE)
                        .get("/find?q=" + Ashgrove.LOT)
                        .statusCode())
                .isEqualTo(404);
    }

    @Test
    void notesAFailedCheckByItsNumberWhateverIsSaid() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        Map<String, String> check = Map.of(
                "kind",
                "equipment",
                "name",
                Ashgrove.PIPETTE,
                "what",
                "checked",
                "about",
                "delivers 5 mL",
                "value",
                "5.04",
                "outcome",
                "passed");
        bench.submit("/equipment/" + Ashgrove.PIPETTE, "/lots/note", check);
        assertThat(bench.page("/equipment/" + Ashgrove.PIPETTE).text())
                .contains("check failed", "Delivers 5 mL failed on 2026-11-25: 5.04, allowed 4.97 to 5.03 mL");
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.page("/today").text()).contains("look Equipment and lots:");
        assertThat(bench.page("/bench").select("#things").text()).isEqualTo("Look before you start");
    }

    @Test
    void looksBackHoldsWhatItListedAndLetsItGo() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        String instrument = ashgrove.invented().day().runs().stream()
                .filter(run -> run.run().equals("mehlich-1"))
                .findFirst()
                .orElseThrow()
                .instrument();
        String address = "/look-back?of=instrument&name=" + instrument.replace(" ", "%20") + "&whole=yes";
        Document look = quality.page(address);
        assertThat(look.select("#found").text()).contains("Instrument " + instrument, "results of");
        Map<String, String> form = new HashMap<>();
        look.select("form[action$=/look-back/hold] input[type=hidden]")
                .forEach(input -> form.put(input.attr("name"), input.val()));
        form.put("reason", "");
        assertThat(quality.submit(address, "/look-back/hold", form).statusCode())
                .isEqualTo(409);
        form.put("reason", "the pump leaked");
        form.put("digest", "another");
        assertThat(submitted(quality, address, "/look-back/hold", form).text()).contains("it lists something else now");
        form.put("digest", look.expectFirst("input[name=digest]").val());
        assertThat(quality.submit(address, "/look-back/hold", form).statusCode())
                .isEqualTo(303);

        List<Hold> holds = ashgrove.book().equipment().all().byHand();
        Hold hold = holds.get(holds.size() - 1);
        LabNumber soil = Places.soil(ashgrove.invented());
        assertThat(quality.page("/soils/" + soil.text()).text())
                .contains("Held by invented quality, hold " + hold.number());
        assertThat(quality.page("/look-back/" + hold.number()).select("h1").text())
                .contains("holds");
        assertThat(ashgrove.as(PersonRole.BENCH).get("/look-back").statusCode()).isEqualTo(404);

        quality.submit(
                "/look-back/" + hold.number(),
                "/look-back/" + hold.number() + "/lift",
                Map.of("reason", "read again without a difference"));
        assertThat(quality.page("/soils/" + soil.text()).text())
                .contains("was lifted by invented quality: read again without a difference")
                .doesNotContain("Held by invented quality");
    }

    @Test
    void listsTheReportsThatAHoldTouchesAndSignsTheirRevisions() {
        try (Ashgrove own = Ashgrove.open(60)) {
            Browser quality = own.as(PersonRole.QUALITY);
            Map<String, String> form = hidden(quality.page("/release/SUB-2201"), "main form");
            form.put("reason", "first release");
            form.put("password", Ashgrove.PASSWORD);
            quality.post("/release/SUB-2201", form);
            String instrument = own.invented().day().runs().stream()
                    .filter(run -> run.run().equals("mehlich-1"))
                    .findFirst()
                    .orElseThrow()
                    .instrument();
            String address = "/look-back?of=instrument&name=" + instrument.replace(" ", "%20") + "&whole=yes";
            Document look = quality.page(address);
            assertThat(look.select("caption:contains(Reports that are out) ~ tbody tr")
                            .text())
                    .contains("SUB-2201");
            form = hidden(look, "form[action$=/look-back/hold]");
            form.put("reason", "the pump leaked");
            quality.post("/look-back/hold", form);
            long hold = own.book().equipment().all().byHand().size();

            Document page = quality.page("/look-back/" + hold);
            assertThat(page.select("form.wide tbody tr").text())
                    .contains("SUB-2201", "revision to be signed", "→ held back");
            form = hidden(page, "form.wide");
            form.put("sign.SUB-2201", "2");
            form.put("reason", "held while the pump is looked at");
            form.put("password", Ashgrove.PASSWORD);
            assertThat(quality.post(page.expectFirst("form.wide").attr("action"), form)
                            .statusCode())
                    .isEqualTo(303);
            assertThat(own.book().releases("")).hasSize(2);
            assertThat(own.book().releases("").get(1).results())
                    .filteredOn(result -> result.method().equals("mehlich3-icp"))
                    .allMatch(result -> result.reported().isEmpty())
                    .anyMatch(result -> result.heldBecause().contains("is being looked at again"));
            assertThat(quality.page("/look-back/" + hold)
                            .select("form.wide tbody tr")
                            .text())
                    .contains("revision signed since");
        }
    }

    /** A hold of which this server has not heard holds at the signature all the same. */
    @Test
    void signsNothingThatAnotherServerHeldMeanwhile() {
        try (Ashgrove own = Ashgrove.open(60)) {
            Browser quality = own.as(PersonRole.QUALITY);
            Map<String, String> form = hidden(quality.page("/release/SUB-2201"), "main form");
            form.put("reason", "first release");
            form.put("password", Ashgrove.PASSWORD);
            own.book()
                    .equipment()
                    .lay(new Hold(
                            1,
                            "an instrument",
                            "the pump leaked",
                            List.of(new Hold.Span(InventedDay.DATE.toString(), "mehlich-1", 1, 400)),
                            "invented quality",
                            Instant.EPOCH,
                            Optional.empty()));
            assertThat(Browser.text(quality.post("/release/SUB-2201", form)))
                    .contains("Somebody held or decided something", "Nothing was released");
            assertThat(own.book().releases("")).isEmpty();
            // Drawn again it shows what is held, and may be signed.
            form.putAll(hidden(quality.page("/release/SUB-2201"), "main form"));
            quality.post("/release/SUB-2201", form);
            assertThat(own.book().releases("").get(0).results())
                    .filteredOn(result -> result.method().equals("mehlich3-icp"))
                    .allMatch(result -> result.reported().isEmpty());
        }
    }

    private static Map<String, String> hidden(Document page, String form) {
        Map<String, String> fields = new HashMap<>();
        page.select(form + " input[type=hidden]").forEach(input -> fields.put(input.attr("name"), input.val()));
        return fields;
    }

    @Test
    void saysOfARunWhichLotsNobodyNamed() {
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .page("/runs/mehlich-1")
                        .select("section[aria-labelledby=with]")
                        .text())
                .contains("Lot not known of");
    }
}
