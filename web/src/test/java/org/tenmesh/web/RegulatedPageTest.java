package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;

final class RegulatedPageTest {
    private final Ashgrove ashgrove = Ashgrove.open(24);

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private Ledger account() {
        return Ledger.of(ashgrove.book().custody().moves());
    }

    @Test
    void aParcelThatIsHereForTooLongIsToldOnTodayToThoseWhoDecideUntilItIsGone() {
        CustodyStore custody = ashgrove.book().custody();
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(charge.page("/today").select("[aria-labelledby=regulated]")).isEmpty();
        // The invented permit lets untreated soil be here for 180 days.
        Parcel old = custody.receive(
                new LedgerBook.Received(
                        "old",
                        "SUB-1001",
                        Origin.written(Optional.of("US"), List.of("TN", "Hardeman")),
                        "an invented list",
                        custody.signedPermits().get(0),
                        OptionalLong.of(500),
                        1,
                        "dry",
                        "dock"),
                LocalDate.of(2026, 5, 25),
                "test",
                Instant.parse("2026-05-25T08:00:00Z"));
        for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR)) {
            assertThat(ashgrove.as(role)
                            .page("/today")
                            .select("[aria-labelledby=regulated] li")
                            .eachText())
                    .as(role.phrase())
                    .containsExactly("decide " + old.code() + ": Parcel " + old.code()
                            + " is 4 days past the last day that its permit allows untreated soil to be here."
                            + " Tell the permit officer.");
        }
        String link =
                charge.page("/today").select("[aria-labelledby=regulated] li a").attr("href");
        assertThat(charge.page(link).text()).contains("SUB-1001");
        custody.keep(List.of(new Move(
                "gone",
                Move.What.SHIPPED,
                old.code(),
                old.code(),
                PortionKind.PARCEL,
                "",
                "another laboratory (invented)",
                500_000,
                1,
                "",
                "shipped on",
                "test",
                Ashgrove.CLOCK.instant())));
        assertThat(charge.page("/today").select("[aria-labelledby=regulated]")).isEmpty();
    }

    @Test
    void aParcelGoesFromItsForgottenPortionsToItsDestruction() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.page("/regulated").text())
                .contains("extract")
                .contains("read by mehlich3-icp")
                .contains("It adds up");
        assertThat(quality.submit(
                                "/regulated/parcels/R1",
                                "/regulated/enter",
                                Map.of("parcel", "R1", "lines", "1", "kind", "all", "place", "bag 12"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(quality.page("/regulated").text())
                .contains("None: everything that was laid out, read or spilt is in the account");
        // Three of the parcel; a well, suspension, filter, extract and cup of each of twelve soils; and the parcel
        // itself.
        long wells = ashgrove.invented().day().trays().get(0).wells().stream()
                .filter(well -> well.labNumber().isPresent())
                .count();
        assertThat(account().here()).hasSize((int) (1 + 3 + wells * 5));

        assertThat(Browser.text(quality.submit(
                        "/regulated/charges/C1", "/regulated/charge/load", Map.of("charge", "C1", "codes", "bag 99"))))
                .contains("neither a portion nor a place");
        quality.submit(
                "/regulated/charges/C1", "/regulated/charge/load", Map.of("charge", "C1", "codes", "bag 12\ndock"));
        assertThat(account().load("C1")).hasSize((int) (1 + 3 + wells * 5));
        Instant loaded = Ashgrove.CLOCK.instant();
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = 0; minute <= 150; minute += 10) {
            for (String sensor : List.of("middle", "door")) {
                points.add(new Charge.Point(
                        loaded.plus(Duration.ofMinutes(minute)),
                        sensor,
                        (sensor.equals("door") ? 124 : 131) + minute % 3));
            }
        }
        ashgrove.book().custody().record("C1", "oven.csv", points, "test", loaded);
        assertThat(quality.page("/regulated/charges/C1").text())
                .contains("at least 121 °C for 2 h")
                .contains("32 points")
                .contains("The coldest sensor, door, reached ");
        Element picture = quality.page("/regulated/charges/C1").expectFirst("svg.along");
        assertThat(picture.select("text").eachText())
                .as("axes with degrees and time, the limit with its name, the coldest sensor named and first")
                .contains("at least 121 °C for 2 h", "Wed 25 Nov 2026", "125", "14:00", "15:30")
                .anyMatch(text -> text.startsWith("°C, sensor door, the coldest: at most "))
                .anyMatch(text -> text.startsWith("°C, sensor middle: at most "));
        assertThat(picture.expectFirst("desc").text()).contains("The coldest sensor, door, reached ");
        quality.submit(
                "/regulated/charges/C1",
                "/regulated/charge/close",
                Map.of("charge", "C1", "opened", "2026-11-25T16:12:00Z", "confirm-0", "yes"));
        assertThat(quality.page("/regulated/charges/C1").text()).contains("passed, waits for 2 signatures");
        sign(quality, "wrong");
        assertThat(quality.page("/regulated/charges/C1").text()).contains("waits for 2 signatures");
        sign(quality, Ashgrove.PASSWORD);
        sign(quality, Ashgrove.PASSWORD);
        assertThat(account().portion("R1").orElseThrow().state()).isEqualTo(Held.State.LOADED);
        sign(ashgrove.as(PersonRole.IN_CHARGE), Ashgrove.PASSWORD);
        assertThat(account().portion("R1").orElseThrow().state()).isEqualTo(Held.State.DESTROYED);
        assertThat(account().here()).isEmpty();
        assertThat(account().balance().destroyed().massMg()).isEqualTo(9_000_000);
        quality.submit(
                "/regulated/charges/C1",
                "/regulated/charge/release",
                Map.of("charge", "C1", "carrier", "a carrier", "destination", "a landfill"));
        assertThat(quality.page("/regulated/charges/C1").text()).contains("Residue released to a carrier");
    }

    private static void sign(Browser browser, String password) {
        browser.submit("/regulated/charges/C1", "/regulated/charge/sign", Map.of("charge", "C1", "password", password));
    }

    @Test
    void whatIsTypedWronglyIsToldWithItsLineAndNothingIsKept() {
        Browser charge = ashgrove.as(PersonRole.IN_CHARGE);
        int before = ashgrove.book().custody().areaLists().size();
        assertThat(Browser.text(charge.submit(
                        "/regulated/areas",
                        "/regulated/areas",
                        Map.ofEntries(
                                Map.entry("seen", "0"),
                                Map.entry("name", "New areas"),
                                Map.entry("authority", "a"),
                                Map.entry("pest", "p"),
                                Map.entry("rule", "r"),
                                Map.entry("covers", "US"),
                                Map.entry("areas", "US; Iowa\nUS; ; Story"),
                                Map.entry("source", "s"),
                                Map.entry("asOf", "2026-11-01"),
                                Map.entry("reviewBy", "2026-12-31"),
                                Map.entry("reason", "as published")))))
                .contains("Line 2")
                .contains("a county needs its region");
        assertThat(ashgrove.book().custody().areaLists()).hasSize(before);
        assertThat(Browser.text(charge.submit(
                        "/regulated/areas",
                        "/regulated/sign",
                        Map.of(
                                "kind",
                                "areas",
                                "name",
                                "Invented areas",
                                "version",
                                "1",
                                "from",
                                "2026-11-25",
                                "password",
                                "wrong"))))
                .contains("That is not your password");
    }

    @Test
    void anOriginThatIsMissingIsNeverANo() {
        Browser desk = ashgrove.as(PersonRole.CLIENT_SERVICE);
        assertThat(desk.page("/regulated/areas?country=US&region=TN").text()).contains("missing its county");
        assertThat(desk.page("/regulated/areas?country=US&region=TN&county=Hardman")
                        .text())
                .contains("Is \"Hardman\" Hardeman");
        assertThat(desk.page("/regulated/areas?country=US&region=Iowa&county=Story")
                        .text())
                .contains("Not regulated by");
        assertThat(desk.page("/regulated/areas?country=KE&region=Nakuru").text())
                .contains("says anything of soil from KE");
    }

    @Test
    void theInspectorsFileIsToBeHadAsTableAndAsPdf() {
        Browser auditor = ashgrove.as(PersonRole.AUDITOR);
        String csv = new String(auditor.get("/regulated/file/R1/csv").body(), StandardCharsets.UTF_8);
        assertThat(csv)
                .contains("R1")
                .contains("US, TN, Hardeman")
                .contains("Missing: must exist and is not in the account");
        byte[] pdf = auditor.get("/regulated/file/R1/pdf").body();
        assertThat(new String(pdf, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
        assertThat(new String(
                        auditor.get("/regulated/period/csv?from=2026-11-01&until=2026-11-30")
                                .body(),
                        StandardCharsets.UTF_8))
                .contains("Balance after 2026-11-30");
        assertThat(auditor.get("/regulated/period/pdf?from=2026-11-30&until=2026-11-01")
                        .statusCode())
                .isEqualTo(400);
    }

    /** Masses as an invented balance showed them: 9 kg came, 300 g of it are nowhere. */
    @Test
    void soilThatWeighingFindsGoneIsAskedAboutAboveTheLimitOfTheSettings() {
        gone(150_000, "1");
        for (PersonRole role :
                List.of(PersonRole.BENCH, PersonRole.QUALITY, PersonRole.IN_CHARGE, PersonRole.AUDITOR)) {
            assertThat(ashgrove.as(role).page("/regulated/parcels/R1").text())
                    .contains("lost in grinding, weighed")
                    .doesNotContain("Soil is gone");
        }
        gone(150_000, "2");
        for (PersonRole role :
                List.of(PersonRole.BENCH, PersonRole.QUALITY, PersonRole.IN_CHARGE, PersonRole.AUDITOR)) {
            assertThat(ashgrove.as(role).page("/regulated/parcels/R1").text())
                    .contains("3.3 % of the soil of parcel R1 is gone by weighing", "The settings allow 2 %");
            assertThat(ashgrove.as(role).page("/regulated").text()).contains("soil of parcel R1 is gone by weighing");
        }
        assertThat(account().balance("R1").exact()).isTrue();
    }

    private void gone(long massMg, String id) {
        ashgrove.book()
                .custody()
                .keep(List.of(new Move(
                        "away-" + id,
                        Move.What.GROUND_AWAY,
                        "R1",
                        "R1",
                        PortionKind.PARCEL,
                        "",
                        "",
                        massMg,
                        0,
                        "",
                        "weighed after grinding",
                        "A. Bench",
                        Ashgrove.CLOCK.instant())));
    }

    private static final List<PersonRole> SEES =
            List.of(PersonRole.BENCH, PersonRole.QUALITY, PersonRole.IN_CHARGE, PersonRole.AUDITOR);

    @Test
    void soilThatBecameRegulatedAfterItsLayoutIsNamedInItsTrayAndSomebodyDecidesOfTheOthers() {
        String day = ashgrove.book().days(1).get(0).day();
        String tray = ashgrove.invented().day().trays().get(1).tray();
        MemoryCustody custody = (MemoryCustody) ashgrove.book().custody();
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/today").text()).doesNotContain("share a tray");
        custody.became.add(new Became(
                "SUB-2201",
                "R1",
                "Ground on rack R-005 in mill M1",
                "A. Bench",
                Ashgrove.CLOCK.instant(),
                2,
                true,
                List.of()));
        custody.trays.add(new Became.InOneTray(
                day, tray, List.of("26329-0002-3"), List.of("26329-0001-5", "26329-0003-1"), Optional.empty(), false));
        custody.toMove.add("26329-0002-3: P-A1-03, B-000012");
        for (PersonRole role : SEES) {
            String page = ashgrove.as(role).page("/regulated").text();
            assertThat(page)
                    .contains("Ground on rack R-005 in mill M1", "Other soils in this tray: 26329-0001-5, 26329-0003-1")
                    .contains("Its report, revision 2, was released before this was known")
                    .contains("Regulated soil stands among ordinary soil", "26329-0002-3: P-A1-03, B-000012");
            if (role == PersonRole.BENCH) {
                assertThat(page).doesNotContain("SUB-2201");
            } else {
                assertThat(page).contains("submission SUB-2201");
            }
        }
        for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.QUALITY)) {
            assertThat(ashgrove.as(role).page("/today").text())
                    .contains("ordinary soils that share a tray with regulated soil: " + tray);
        }
        assertThat(ashgrove.as(PersonRole.AUDITOR).page("/today").text()).doesNotContain("share a tray");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/trays/" + tray).text())
                .contains("Print new labels for the tray and these soils", "Other soils in this tray, to be decided");
        Map<String, String> decision =
                Map.of("day", day, "tray", tray, "decision", "ordinary", "reason", "lids on every well");
        for (PersonRole role : List.of(PersonRole.BENCH, PersonRole.AUDITOR)) {
            assertThat(ashgrove.as(role)
                            .submit("/regulated", "/regulated/tray", decision)
                            .statusCode())
                    .isEqualTo(404);
        }
        assertThat(Browser.text(ashgrove.as(PersonRole.QUALITY)
                        .submit("/regulated", "/regulated/tray", Map.of("day", day, "tray", tray, "reason", "x"))))
                .contains("handled as regulated or stay ordinary");
        assertThat(ashgrove.as(PersonRole.QUALITY)
                        .submit("/regulated", "/regulated/tray", decision)
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.BENCH).page("/regulated").text())
                .contains("Decided for the others: stays ordinary, lids on every well");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/today").text()).doesNotContain("share a tray");
    }

    @Test
    void soilOfWhichTheNotesNoLongerSayThatItMetRegulatedSoilIsListedAndTwoPeopleSignItBack() {
        MemoryCustody custody = (MemoryCustody) ashgrove.book().custody();
        Became met = new Became(
                "SUB-2201",
                "R1",
                "Ground on rack R-005 in mill M1",
                "A. Bench",
                Ashgrove.CLOCK.instant(),
                0,
                true,
                List.of());
        custody.became.add(met);
        assertThat(ashgrove.as(PersonRole.QUALITY).page("/regulated").select("form[action=/regulated/ordinary]"))
                .as("nothing is offered while the notes say so")
                .isEmpty();
        Map<String, String> form = Map.of("parcel", "R1", "reason", "it was mill M2", "password", Ashgrove.PASSWORD);
        assertThat(Browser.text(ashgrove.as(PersonRole.QUALITY).submit("/regulated", "/regulated/ordinary", form)))
                .contains("The notes that count now say that it met regulated soil");
        custody.became.set(
                0, new Became(met.submission(), "R1", met.because(), met.by(), met.at(), 0, false, List.of()));
        for (PersonRole role : SEES) {
            Element page = ashgrove.as(role).page("/regulated");
            assertThat(page.text()).contains("The notes no longer say that parcel R1 met regulated soil");
            assertThat(page.select("form[action=/regulated/ordinary]"))
                    .hasSize(role == PersonRole.QUALITY || role == PersonRole.IN_CHARGE ? 1 : 0);
        }
        for (PersonRole role : List.of(PersonRole.BENCH, PersonRole.AUDITOR)) {
            assertThat(ashgrove.as(role)
                            .submit("/regulated", "/regulated/ordinary", form)
                            .statusCode())
                    .isEqualTo(404);
        }
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .submit(
                                "/regulated",
                                "/regulated/ordinary",
                                Map.of("parcel", "R1", "reason", "it was mill M2", "password", "wrong"))
                        .statusCode())
                .isEqualTo(403);
        assertThat(custody.became.get(0).signatures()).isEmpty();
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .submit("/regulated", "/regulated/ordinary", form)
                        .statusCode())
                .isEqualTo(303);
        Element signed = ashgrove.as(PersonRole.IN_CHARGE).page("/regulated");
        assertThat(signed.text())
                .contains("it was mill M2", "You have signed. The second signature is another person's");
        assertThat(signed.select("form[action=/regulated/ordinary]")).isEmpty();
        ashgrove.as(PersonRole.QUALITY).submit("/regulated", "/regulated/ordinary", form);
        assertThat(ashgrove.as(PersonRole.AUDITOR).page("/regulated").text())
                .contains("Became regulated and is ordinary again: 1 parcel")
                .doesNotContain("The notes no longer say");
    }

    @Test
    void aDecisionOnATrayIsAskedForAnewWhenSoilOfItIsOrdinaryAgain() {
        String day = ashgrove.book().days(1).get(0).day();
        String tray = ashgrove.invented().day().trays().get(1).tray();
        MemoryCustody custody = (MemoryCustody) ashgrove.book().custody();
        custody.trays.add(new Became.InOneTray(
                day,
                tray,
                List.of("26329-0001-5"),
                List.of("26329-0002-3"),
                Optional.of(new Became.Decided(
                        Became.Decision.REGULATED, "one lid was off", "Q. Ahern", Ashgrove.CLOCK.instant())),
                true));
        assertThat(ashgrove.as(PersonRole.BENCH).page("/regulated").text())
                .contains("Soil of this tray is ordinary again since. Does the decision still hold for the others?");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/today").text()).contains(tray + ".");
        ashgrove.as(PersonRole.QUALITY)
                .submit(
                        "/regulated",
                        "/regulated/tray",
                        Map.of("day", day, "tray", tray, "decision", "ordinary", "reason", "nothing was there"));
        assertThat(ashgrove.as(PersonRole.BENCH).page("/regulated").text()).doesNotContain("ordinary again since");
    }

    @Test
    void aParcelWithoutAKnownPermitIsToldUntilSomebodyEntersOneWithItsReason() {
        ((MemoryCustody) ashgrove.book().custody()).receiveWithoutPermit("R77", "SUB-77", Ashgrove.CLOCK.instant());
        for (PersonRole role : SEES) {
            assertThat(ashgrove.as(role).page("/regulated").text()).contains("The permit of parcel R77 is not known");
            assertThat(ashgrove.as(role).page("/regulated/parcels/R77").text())
                    .contains("Permit not known", "Nothing of this parcel may be destroyed before its permit is known");
        }
        String permit = ashgrove.book().custody().signedPermits().get(0).name();
        Map<String, String> form = Map.of("parcel", "R77", "permit", permit, "reason", "the permit office, by mail");
        assertThat(ashgrove.as(PersonRole.BENCH)
                        .submit("/regulated/parcels/R1", "/regulated/permit", form)
                        .statusCode())
                .isEqualTo(404);
        assertThat(ashgrove.as(PersonRole.QUALITY)
                        .submit("/regulated/parcels/R77", "/regulated/permit", form)
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.BENCH).page("/regulated/parcels/R77").text())
                .contains("Permit " + permit)
                .doesNotContain("not known");
    }
}
