package org.tenmesh.web;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;

/** One ordinary and one exceptional box, from the dock to their layout, by the pages alone. */
class DockPageTest {
    private Ashgrove ashgrove;
    private Browser dock;
    private String submission = "";

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
        dock = ashgrove.as(PersonRole.CLIENT_SERVICE);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private void typed(String country, String labels) {
        HttpResponse<byte[]> answer = dock.submit(
                "/dock",
                "/dock/typed",
                Map.of(
                        "client",
                        "Tern Bay (invented)",
                        "country",
                        country,
                        "labels",
                        labels,
                        "promised",
                        "2026-11-28"));
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
        submission = answer.headers().firstValue("Location").orElseThrow().substring("/dock/".length());
    }

    private HttpResponse<byte[]> send(String path, Map<String, String> fields) {
        Map<String, String> all = new HashMap<>(fields);
        all.put("submission", submission);
        return dock.submit("/dock/" + submission, path, all);
    }

    private void act(String what, Map<String, String> fields) {
        Map<String, String> all = new HashMap<>(fields);
        all.put("what", what);
        HttpResponse<byte[]> answer = send("/dock/act", all);
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
    }

    private void scan(String label) {
        HttpResponse<byte[]> answer = send("/dock/scan", Map.of("bag", label));
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
    }

    private Document page() {
        return dock.page("/dock/" + submission);
    }

    /** Decides an open exception by the form of its card, as a person would. */
    private void decide(String heading, String decision) {
        String key = page().select("article.card").stream()
                .filter(card -> card.select("h3").text().contains(heading))
                .flatMap(card -> card.select("input[name=about]").stream())
                .map(field -> field.attr("value"))
                .findFirst()
                .orElseThrow();
        act("decided", Map.of("about", key, "says", decision, "reason", "client rang"));
    }

    private Day laidOut() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.submit("/intake", "/intake/layout", Map.of()).statusCode())
                .isEqualTo(303);
        return ashgrove.book().day("2026-11-25 laid out", Optional.empty()).day();
    }

    @Test
    void anOrdinaryBoxIsCountedBookedInAndLaidOut() {
        typed("IE", "Long Acre\nPond field\nHill");
        assertThat(dock.page("/dock").text()).contains(submission, "expected", "0 of 3");
        act("box", Map.of("about", "BX-7", "says", "sound"));
        List.of("Long Acre", "pond field", "#3").forEach(this::scan);
        act("counted", Map.of("number", "3"));
        assertThat(page().text()).contains("origin to be looked at").doesNotContain("Book in 3 soils");
        decide("origin to be looked at", "not-regulated");
        assertThat(page().text()).contains("Book in 3 soils").doesNotContain("regulated: keep apart");
        act("booked", Map.of("number", "3", "says", "ordinary"));
        assertThat(page().text()).contains("Booked in with 3 soils by " + Ashgrove.name(PersonRole.CLIENT_SERVICE));
        assertThat(dock.get("/dock?q=bx-7").headers().firstValue("Location"))
                .as("the box's label leads to its submission")
                .contains("/dock/" + submission);
        Day day = laidOut();
        assertThat(day.soils().stream().flatMap(soil -> soil.clientLabel().stream()))
                .containsExactlyInAnyOrder("Long Acre", "Pond field", "Hill");
    }

    @Test
    void anExceptionalBoxIsLaidOutOnlyAfterEachExceptionIsSettled() {
        typed("IE", "Long Acre\nPond field\nHill");
        act("box", Map.of("about", "BX-8", "says", "wet", "reason", "one corner torn"));
        scan("Hill");
        scan("Long Acre");
        HttpResponse<byte[]> unknown = send("/dock/scan", Map.of("bag", "River"));
        assertThat(Browser.text(unknown)).contains("\"River\" is not on the sheet");
        act("extra", Map.of("about", "River", "reason", "clearly written"));
        act("found", Map.of("number", "3", "says", "wet", "reason", "dripping"));
        act("counted", Map.of("number", "3"));
        assertThat(page().select("article.card h3").eachText())
                .anyMatch(text -> text.contains("Bag 2 \"Pond field\": missing bag"))
                .anyMatch(text -> text.contains("wrong order"))
                .anyMatch(text -> text.contains("Bag \"River\": bag that is not on the sheet"));
        HttpResponse<byte[]> early = send("/dock/act", Map.of("what", "booked", "number", "2", "says", "ordinary"));
        assertThat(early.statusCode()).isEqualTo(409);
        assertThat(Browser.text(early)).contains("Not settled: Bag 2 \"Pond field\", missing bag.");
        assertThat(dock.page("/dock").text()).contains("exceptions open");
        decide("origin to be looked at", "not-regulated");
        decide("missing bag", "without");
        decide("not on the sheet", "take-in");
        decide("wrong order", "sorted");
        String asked = page().select("article.card").stream()
                .filter(card -> card.select("h3").text().contains("wet"))
                .flatMap(card -> card.select("input[name=about]").stream())
                .map(field -> field.attr("value"))
                .findFirst()
                .orElseThrow();
        act("asked", Map.of("about", asked, "reason", "by telephone"));
        assertThat(page().text()).contains("client asked: by telephone", "Keep the answer");
        act("answered", Map.of("about", asked, "reason", "dry it"));
        decide("wet", "go-on");
        assertThat(ashgrove.as(PersonRole.QUALITY).page("/intake").text()).contains("being counted");
        act("booked", Map.of("number", "3", "says", "ordinary"));
        Day day = laidOut();
        assertThat(day.soils().stream().flatMap(soil -> soil.clientLabel().stream()))
                .containsExactlyInAnyOrder("Long Acre", "Hill", "River");
        Submission its = day.submissions().stream()
                .filter(one -> one.submission().equals(submission))
                .findFirst()
                .orElseThrow();
        assertThat(its.note().orElseThrow())
                .contains("Bag 2 \"Pond field\": missing bag; it is not analysed.", "Bag 3 \"Hill\": wet (dripping)");
    }

    @Test
    void withoutAnOriginItIsRegulatedAndWithoutAPermitItStays() {
        typed("", "A\nB");
        act("box", Map.of("about", "BX-9", "says", "sound"));
        assertThat(send("/dock/rest", Map.of()).statusCode()).isEqualTo(303);
        act("counted", Map.of("number", "2"));
        assertThat(page().select("select[name=says] option[value=not-regulated]"))
                .as("a missing origin is never a no")
                .isEmpty();
        decide("no origin", "as-regulated");
        assertThat(page().text()).contains("regulated: keep apart", "no permit that fits");
        assertThat(send("/dock/act", Map.of("what", "booked", "number", "2", "says", "regulated"))
                        .statusCode())
                .isEqualTo(409);
        act("origin", Map.of("says", "ie", "about", "Kerry", "reason", "client by telephone"));
        assertThat(page().text()).contains("IE, Kerry").doesNotContain("regulated: keep apart");
    }

    /** DI-3: the first value and the reason of every change stand on the page. */
    @Test
    void whatWasSaidFirstStaysInSightWithTheReasonOfItsChange() {
        typed("IE", "A\nB\nC");
        assertThat(page().select("[aria-labelledby=changed]"))
                .as("nothing was changed yet")
                .isEmpty();
        act("box", Map.of("about", "BX-11", "says", "sound"));
        scan("A");
        act("counted", Map.of("number", "2"));
        act("counted", Map.of("number", "2"));
        HttpResponse<byte[]> without = send("/dock/act", Map.of("what", "counted", "number", "3"));
        assertThat(without.statusCode()).isEqualTo(409);
        assertThat(Browser.text(without)).contains("2 bags were counted before. Say why it is another number.");
        act("counted", Map.of("number", "3", "reason", "one lay under the lid"));
        act("weighed", Map.of("number", "900"));
        assertThat(send("/dock/act", Map.of("what", "weighed", "number", "950")).statusCode())
                .isEqualTo(409);
        act("weighed", Map.of("number", "950", "reason", "scale was not at zero"));
        act("origin", Map.of("says", "ie", "about", "Kerry", "reason", "client by telephone"));
        String bag = page().select("select[name=about] option").stream()
                .filter(option -> option.text().startsWith("bag there 1"))
                .findFirst()
                .orElseThrow()
                .attr("value");
        act("taken-back", Map.of("about", bag, "reason", "it was bag C"));
        String person = Ashgrove.name(PersonRole.CLIENT_SERVICE);
        List<String> lines = page().select("[aria-labelledby=changed] tbody tr").eachText();
        assertThat(lines)
                .hasSize(4)
                .anyMatch(line -> line.startsWith("bags counted 2 bags (" + person)
                        && line.contains(") 3 bags one lay under the lid " + person))
                .anyMatch(line -> line.startsWith("weighed 900 g (" + person)
                        && line.contains(") 950 g scale was not at zero " + person))
                .anyMatch(line -> line.startsWith("origin of the sheet IE IE, Kerry client by telephone " + person))
                .anyMatch(line -> line.startsWith("bag there bag 1, scanned (" + person)
                        && line.contains(") taken back it was bag C " + person));
    }

    @Test
    void whatIsTypedWronglyIsStillThereAndNothingIsKept() {
        int before = ashgrove.book().sheets().waiting().size();
        HttpResponse<byte[]> answer = dock.submit(
                "/dock", "/dock/typed", Map.of("client", "", "labels", "Long Acre\nHill", "promised", "2026-11-28"));
        assertThat(answer.statusCode()).isEqualTo(400);
        assertThat(Browser.text(answer)).contains("Long Acre");
        assertThat(ashgrove.book().sheets().waiting()).hasSize(before);
    }

    /** Signs a version of each; the permit admits soil that these lists make regulated. */
    private void signAreasAndPermit(int version, Set<String> admitted) {
        Instant now = Ashgrove.CLOCK.instant();
        LocalDate today = LocalDate.of(2026, 11, 25);
        CustodyStore custody = ashgrove.book().custody();
        custody.draft(
                new AreaList(
                        "Invented beetle",
                        "invented authority",
                        "an invented beetle",
                        "invented rule 1",
                        Set.of("IE"),
                        false,
                        List.of(new Area("IE", List.of("Kerry"), List.of(), Optional.empty(), Optional.empty(), "")),
                        List.of(new Area("IE", List.of("Meath"), List.of(), Optional.empty(), Optional.empty(), "")),
                        "invented map",
                        LocalDate.of(2026, 11, 1),
                        LocalDate.of(2027, 1, 31)),
                version - 1,
                "as published",
                "P. Officer",
                now);
        custody.sign(Papers.Kind.AREAS, "Invented beetle", version, today, today, "P. Officer", now);
        custody.draft(
                new Permit(
                        Permit.Kind.PERMIT,
                        "INV-1",
                        "invented authority",
                        "invented laboratory",
                        "invented site",
                        List.of(),
                        admitted,
                        EnumSet.allOf(Permit.Analysis.class),
                        OptionalLong.empty(),
                        false,
                        LocalDate.of(2026, 1, 1),
                        Optional.empty(),
                        LocalDate.of(2026, 12, 10),
                        30,
                        OptionalInt.empty(),
                        OptionalInt.empty(),
                        List.of(new Treatment(
                                "heat",
                                List.of(new Treatment.Limit(121, Duration.ofHours(2))),
                                true,
                                Duration.ofMinutes(5),
                                Set.of(),
                                List.of(),
                                "invented")),
                        "REGULATED",
                        "",
                        List.of(),
                        "invented officer"),
                version - 1,
                "as published",
                "P. Officer",
                now);
        custody.sign(Papers.Kind.PERMIT, "INV-1", version, today, today, "P. Officer", now);
    }

    private void boxed(int bags) {
        act("box", Map.of("about", "BX-" + submission, "says", "sound"));
        assertThat(send("/dock/rest", Map.of()).statusCode()).isEqualTo(303);
        act("counted", Map.of("number", String.valueOf(bags)));
    }

    @Test
    void aRegulatedBookingThatIsTakenBackTakesItsParcelOutOfTheAccountUnlessItWasWorkedOn() {
        signAreasAndPermit(1, Set.of("Invented beetle"));
        typed("IE", "Strand\nDune");
        boxed(2);
        act("origin", Map.of("says", "IE", "about", "Kerry", "reason", "form in the box"));
        act("booked", Map.of("number", "2", "says", "regulated"));
        takeBackBooking(303);
        CustodyStore custody = ashgrove.book().custody();
        assertThat(Ledger.of(custody.moves()).here().stream()
                        .filter(held -> its(custody).contains(held.parcel())))
                .as("nothing of it is open in the account")
                .isEmpty();
        assertThat(Ledger.of(custody.moves()).balance().exact()).isTrue();
        act("booked", Map.of("number", "2", "says", "regulated"));
        assertThat(its(custody)).as("received once more").hasSize(2);
        rack("R9", 2);
        ground("R9", "2026-11-25T10:00:00Z");
        assertThat(takeBackBooking(409)).contains("portions were taken of it");
        assertThat(page().text()).contains("Booked in with 2 soils");
    }

    private List<String> its(CustodyStore custody) {
        return custody.parcels().stream()
                .filter(parcel -> parcel.submission().equals(submission))
                .map(Parcel::code)
                .toList();
    }

    private String takeBackBooking(int status) {
        String booking = page().select("select[name=about] option").stream()
                .filter(option -> option.text().startsWith("booked in"))
                .map(option -> option.attr("value"))
                .findFirst()
                .orElseThrow();
        HttpResponse<byte[]> answer =
                send("/dock/act", Map.of("what", "taken-back", "about", booking, "reason", "another origin"));
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(status);
        return Browser.text(answer);
    }

    /** The rack's soil met regulated soil in the mill: booking, account and layout follow. */
    @Test
    void ordinarySoilGroundInAMillThatWasNotCleanedIsBookedInAsRegulatedAndReceivedIntoTheAccount() {
        signAreasAndPermit(1, Set.of("Invented beetle"));
        typed("IE", "Strand\nDune");
        boxed(2);
        act("origin", Map.of("says", "IE", "about", "Kerry", "reason", "form in the box"));
        act("booked", Map.of("number", "2", "says", "regulated"));
        rack("R9", 2);
        typed("IE", "Long Acre\nHill\nPond");
        boxed(3);
        act("origin", Map.of("says", "IE", "about", "Meath", "reason", "client"));
        act("booked", Map.of("number", "3", "says", "ordinary"));
        rack("R5", 3);
        ground("R9", "2026-11-25T10:00:00Z");
        assertThat(page().text()).doesNotContain("regulated: keep apart");
        ground("R5", "2026-11-25T10:30:00Z");
        assertThat(page().text())
                .contains(
                        "regulated: keep apart",
                        "Ground on rack R-005 in mill M1, which was not cleaned after regulated soil of rack R-009 (invented bench",
                        "Kept under INV-1");
        assertThat(ashgrove.book().custody().parcels())
                .filteredOn(parcel -> parcel.submission().equals(submission))
                .singleElement()
                .satisfies(parcel -> {
                    assertThat(parcel.because()).contains("not cleaned after regulated soil");
                    assertThat(parcel.permit()).isEqualTo("INV-1");
                });
        assertThat(ashgrove.book().custody().moves())
                .as("grinding leaves dust of both parcels in the mill")
                .filteredOn(move -> move.kind() == PortionKind.DUST)
                .extracting(move -> move.portion() + " " + move.place())
                .hasSize(2)
                .allMatch(text -> text.endsWith(".dust mill M1"));
        assertThat(laidOut().soils().stream()
                        .filter(soil -> soil.regulated().equals(Optional.of(true)))
                        .flatMap(soil -> soil.clientLabel().stream()))
                .contains("Long Acre", "Hill", "Pond");
    }

    private void rack(String code, int bags) {
        assertThat(send("/dock/rack", Map.of("rack", code, "first", "1", "last", String.valueOf(bags), "place", "1"))
                        .statusCode())
                .isEqualTo(303);
    }

    private void ground(String rack, String at) {
        HttpResponse<byte[]> answer = ashgrove.as(PersonRole.BENCH)
                .submit(
                        "/bench/rack/R-00" + rack.substring(1),
                        "/bench-acts",
                        Map.of(
                                "kind",
                                "rack",
                                "code",
                                rack,
                                "what",
                                "done",
                                "step",
                                "rack.grind",
                                "instrument",
                                "M1",
                                "late",
                                "yes",
                                "at",
                                at));
        assertThat(answer.statusCode()).as(Browser.text(answer)).isEqualTo(303);
    }

    @Test
    void aListedOriginIsRegulatedNeedsAPermitThatFitsAndGetsTraysOfItsOwn() {
        signAreasAndPermit(1, Set.of("Another list"));
        typed("IE", "Strand\nDune");
        boxed(2);
        act("origin", Map.of("says", "IE", "about", "Kerry", "reason", "form in the box"));
        assertThat(page().text())
                .contains("regulated: keep apart", "an invented beetle", "no permit that fits", "not in its scope");
        assertThat(send("/dock/act", Map.of("what", "booked", "number", "2", "says", "regulated"))
                        .statusCode())
                .isEqualTo(409);
        signAreasAndPermit(2, Set.of("Invented beetle"));
        assertThat(page().text())
                .contains("Book in 2 soils as regulated", "INV-1", "expires on 2026-12-10, in 15 days");
        act("booked", Map.of("number", "2", "says", "regulated", "reason", "a form cannot say by what"));
        Parcel parcel = ashgrove.book().custody().parcels().stream()
                .filter(one -> one.submission().equals(submission))
                .findFirst()
                .orElseThrow();
        assertThat(parcel.permit()).isEqualTo("INV-1");
        assertThat(page().text())
                .contains(
                        "Booked in with 2 soils",
                        "an invented beetle",
                        "Kept under INV-1, parcel " + parcel.code() + " in the account");
        assertThat(ashgrove.book().custody().moves())
                .filteredOn(move -> move.parcel().equals(parcel.code()))
                .extracting(Move::pieces)
                .containsExactly(2);
        typed("IE", "Long Acre\nHill\nPond");
        boxed(3);
        act("origin", Map.of("says", "IE", "about", "Ballyinvent", "reason", "client"));
        assertThat(page().text())
                .as("a town without its region is a question, and kept apart until it is settled")
                .contains(
                        "not settled: keep apart as if regulated",
                        "No list knows a region of IE called \"Ballyinvent\"",
                        "Looked up: IE, Ballyinvent in ",
                        "Invented beetle, version 2, its source of 2026-11-01");
        assertThat(send("/dock/act", Map.of("what", "booked", "number", "3", "says", "ordinary"))
                        .statusCode())
                .isEqualTo(409);
        act("origin", Map.of("says", "IE", "about", "Meath", "reason", "client"));
        assertThat(page().text()).doesNotContain("not settled: keep apart");
        act("booked", Map.of("number", "3", "says", "ordinary"));
        Day day = laidOut();
        Map<String, Soil> soils = new HashMap<>();
        day.soils().forEach(soil -> soils.put(soil.labNumber().text(), soil));
        for (Tray tray : day.trays()) {
            assertThat(tray.wells().stream()
                            .flatMap(place -> place.labNumber().stream())
                            .map(number ->
                                    requireNonNull(soils.get(number.text())).regulated())
                            .distinct())
                    .as("tray %s: regulated and ordinary soil apart, controls like the soils beside them", tray.tray())
                    .hasSize(1);
        }
        assertThat(day.soils().stream()
                        .filter(soil -> soil.regulated().equals(Optional.of(true)))
                        .flatMap(soil -> soil.clientLabel().stream()))
                .containsExactlyInAnyOrder("Strand", "Dune");
        assertThat(day.controls().keySet().stream()
                        .map(number -> requireNonNull(soils.get(number.text())).regulated()))
                .contains(Optional.of(true), Optional.of(false));
    }
}
