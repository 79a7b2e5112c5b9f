package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.HashMap;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.store.people.PersonRole;

/** Racks from the dock to the mill, by the pages. */
class PreparationPageTest {
    private Ashgrove ashgrove;
    private Browser bench;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
        bench = ashgrove.as(PersonRole.BENCH);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> note(String kind, String code, Map<String, String> fields) {
        Map<String, String> all = new HashMap<>(fields);
        all.put("kind", kind);
        all.put("code", code);
        String page = kind.equals("rack") ? "/bench/rack/R-00" + code.substring(1) : "/bench/mill/" + code;
        return bench.submit(page, "/bench-acts", all);
    }

    private void noted(String kind, String code, Map<String, String> fields) {
        HttpResponse<byte[]> answer = note(kind, code, fields);
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
    }

    private void regulated(String rack) {
        ashgrove.book()
                .bench()
                .keep(
                        new BenchAct(
                                "load-" + rack + "-1",
                                Subject.rack(rack),
                                "",
                                BenchAct.What.LOADED,
                                "SUB-9",
                                "",
                                "dock",
                                "dock",
                                Ashgrove.CLOCK.instant(),
                                Ashgrove.CLOCK.instant(),
                                Map.of(
                                        Measure.FIRST_BAG, 1.0,
                                        Measure.LAST_BAG, 2.0,
                                        Measure.PLACE, 1.0,
                                        Measure.REGULATED, 1.0)),
                        "dock");
    }

    @Test
    void aSubmissionThatIsBookedInIsPutOnARackThatSaysWhatLiesOnIt() {
        ashgrove.bookIn("SUB-2201", 1);
        Browser dock = ashgrove.as(PersonRole.CLIENT_SERVICE);
        Map<String, String> load =
                Map.of("submission", "SUB-2201", "rack", "r4", "first", "1", "last", "1", "place", "7");
        assertThat(dock.submit("/dock/SUB-2201", "/dock/rack", load).statusCode())
                .isEqualTo(303);
        assertThat(Browser.text(dock.submit("/dock/SUB-2201", "/dock/rack", load)))
                .contains("Places 7 to 7 are not free");
        assertThat(dock.page("/dock/SUB-2201").text()).contains("Bags 1 to 1 were put on rack R-004, from place 7");
        assertThat(bench.page("/bench/rack/R-004").text())
                .contains("SUB-2201, bags 1 to 1, from place 7")
                .doesNotContain("keep apart", "Hollow Lane");
    }

    @Test
    void aRackIsDriedWeighedSievedAndGroundAndEachIsAskedAboutWhereItIsNotAsItShouldBe() {
        noted("rack", "R4", Map.of("what", "begun", "temperature-c", "38,5", "at", "2026-11-24T16:00:00Z"));
        assertThat(bench.page("/bench/rack/R-004").text()).contains("38.5 °C", "not weighed twice");
        noted("rack", "R4", Map.of("what", "weighed", "place", "3", "mass-g", "210", "at", "2026-11-25T04:00:00Z"));
        assertThat(Browser.text(note("rack", "R4", Map.of("what", "done"))))
                .contains("Dryness: not weighed twice", "Go on anyway?");
        noted("rack", "R4", Map.of("what", "weighed", "place", "3", "mass-g", "208", "at", "2026-11-25T12:00:00Z"));
        assertThat(bench.page("/bench/rack/R-004").text())
                .contains("Place 3: 208 g", "dry")
                .doesNotContain("not weighed twice");
        noted("rack", "R4", Map.of("what", "done"));
        assertThat(Browser.text(
                        note("rack", "R4", Map.of("what", "coarse", "place", "3", "mass-g", "10", "coarse-g", "20"))))
                .contains("weigh more than the whole");
        noted("rack", "R4", Map.of("what", "coarse", "place", "3", "mass-g", "200", "coarse-g", "25"));
        assertThat(bench.page("/bench/rack/R-004").text()).contains("25 g above 2 mm, 12.5 %");
        assertThat(Browser.text(note("rack", "R4", Map.of("what", "done")))).contains("in which mill");
        noted("rack", "R4", Map.of("what", "done", "instrument", "M1"));
        assertThat(bench.page("/bench/rack/R-004").text()).contains("mill M1");
    }

    /** DI-3: what was noted and taken back stays in sight with its reason; without one nothing is taken back. */
    @Test
    void whatIsTakenBackStaysInSightWithItsReason() {
        noted("rack", "R4", Map.of("what", "begun", "temperature-c", "38", "id", "note-000001"));
        assertThat(Browser.text(note("rack", "R4", Map.of("act", "note-000001"))))
                .contains("say why it is taken back; nothing was noted");
        assertThat(bench.page("/bench/rack/R-004").text()).contains("Drying began");
        assertThat(bench.page("/bench/rack/R-004").select("#why option").eachText())
                .hasSizeGreaterThan(2);
        noted("rack", "R4", Map.of("act", "note-000001", "why", "wrong number"));
        assertThat(bench.page("/bench/rack/R-004").text()).doesNotContain("Drying began");
        assertThat(bench.page("/bench/rack/R-004")
                        .select("[aria-labelledby=changed] tbody tr")
                        .eachText())
                .singleElement()
                .asString()
                .contains("begun", "temperature-c 38", "wrong number", Ashgrove.name(PersonRole.BENCH));
    }

    @Test
    void aDryingAboveTheLimitIsAskedAbout() {
        assertThat(Browser.text(note("rack", "R4", Map.of("what", "begun", "temperature-c", "60"))))
                .contains("above 40 °C", "Go on anyway?");
    }

    @Test
    void aMillThatGroundRegulatedSoilRefusesOrdinarySoilUntilItIsCleaned() {
        regulated("R9");
        assertThat(bench.page("/bench/rack/R-009").text()).contains("regulated: keep apart");
        assertThat(bench.page("/bench").text()).contains("Rack R-009", "regulated");
        Map<String, String> grind = Map.of(
                "what",
                "done",
                "step",
                "rack.grind",
                "instrument",
                "M1",
                "confirmed",
                "yes",
                "at",
                "2026-11-25T10:00:00Z");
        noted("rack", "R9", grind);
        assertThat(bench.page("/bench/mill/M1").text()).contains("regulated soil in it", "rack R-009");
        HttpResponse<byte[]> refused = note("rack", "R5", grind);
        assertThat(refused.statusCode()).isEqualTo(409);
        assertThat(Browser.text(refused)).contains("Mill M1 ground regulated soil of rack R-009");
        noted("rack", "R6", Map.of("what", "done", "step", "rack.grind", "instrument", "M2", "confirmed", "yes"));
        noted("equipment", "M1", Map.of("what", "cleaned", "at", "2026-11-25T11:00:00Z"));
        assertThat(bench.page("/bench/mill/M1").text()).contains("Clean, as far as anybody noted");
        noted("rack", "R5", grind);
        assertThat(bench.page("/bench/rack/R-005").text()).doesNotContain("keep apart");
    }

    @Test
    void whatWasGroundThereWithoutNetworkIsKeptAndCountsAsRegulated() {
        regulated("R9");
        noted(
                "rack",
                "R9",
                Map.of(
                        "what",
                        "done",
                        "step",
                        "rack.grind",
                        "instrument",
                        "M1",
                        "late",
                        "yes",
                        "at",
                        "2026-11-25T10:00:00Z"));
        noted(
                "rack",
                "R5",
                Map.of(
                        "what",
                        "done",
                        "step",
                        "rack.grind",
                        "instrument",
                        "M1",
                        "late",
                        "yes",
                        "at",
                        "2026-11-25T10:30:00Z"));
        assertThat(bench.page("/bench/rack/R-005").text()).contains("regulated: keep apart", "handled as regulated");
    }
}
