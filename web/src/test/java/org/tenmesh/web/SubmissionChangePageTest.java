package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.sheets.SaidAnew;
import org.tenmesh.web.words.Words;

/** A client rings after the soils were laid out: another name, date or package, said anew with its reason. */
class SubmissionChangePageTest {
    private static final String PAGE = "/submissions/SUB-2201";
    private static final String CHANGE = PAGE + "/change";

    private final Ashgrove ashgrove = Ashgrove.open(PackagedDay.of(InventedDay.of(60, Ashgrove.METHODS)));

    @BeforeEach
    void drawn() {
        assertThat(ashgrove.as(PersonRole.CLIENT_SERVICE).get(PAGE).statusCode())
                .isEqualTo(200);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    /** The form as it stands on the page. */
    private static Map<String, String> form(Document page) {
        Element form = page.expectFirst("form[action$=/change]");
        Map<String, String> fields = new HashMap<>();
        form.select("input").forEach(input -> fields.put(input.attr("name"), input.val()));
        fields.put("package", form.select("option[selected]").text());
        return fields;
    }

    @Test
    void isKeptAsAVersionWithItsReasonAndEarlierOnesStayInSight() {
        Browser service = ashgrove.as(PersonRole.CLIENT_SERVICE);
        Map<String, String> form = form(service.page(PAGE));
        String promised = Objects.requireNonNull(form.get("promised"));
        String came = promised.isEmpty() ? "none" : Words.day(LocalDate.parse(promised));
        assertThat(form).containsEntry("version", "0").containsEntry("package", "standard");
        assertThat(Browser.text(service.submit(PAGE, CHANGE, form))).contains("it says the same as before");
        form.put("promised", "2026-12-01");
        assertThat(Browser.text(service.submit(PAGE, CHANGE, form))).contains("a change needs its reason");
        form.put("reason", "the client rang");
        form.put("promised", "tomorrow");
        assertThat(service.submit(PAGE, CHANGE, form).statusCode()).isEqualTo(400);
        form.put("promised", "2026-12-01");
        assertThat(service.submit(PAGE, CHANGE, form).statusCode()).isEqualTo(303);
        Document later = service.page(PAGE);
        assertThat(later.select("[aria-labelledby=anew]").text())
                .contains(
                        "the client rang",
                        "promised on",
                        came + " (as it came, ",
                        "Tue 1 Dec 2026",
                        Ashgrove.name(PersonRole.CLIENT_SERVICE));
        // Somebody who still looks at the page as it was changes nothing.
        form.put("promised", "2026-12-02");
        assertThat(service.submit(PAGE, CHANGE, form).statusCode()).isEqualTo(409);
        assertThat(ashgrove.book().sheets().versions("2026-11-25", "SUB-2201"))
                .extracting(SaidAnew::version)
                .containsExactly(1, 0);
    }

    @Test
    void aPackageThatNobodyKnowsIsRefusedWithThoseThatAreKnown() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> form = form(inCharge.page(PAGE));
        form.put("package", "standrad");
        form.put("reason", "the client rang");
        assertThat(Browser.text(inCharge.submit(PAGE, CHANGE, form)))
                .contains("Package standrad is not known on this day; expected one of standard, water.");
    }

    @Test
    void whatWasReleasedIsStillAskedFor() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> form = form(inCharge.page(PAGE));
        form.put("package", "water");
        form.put("reason", "the client rang");
        Map<String, String> signed = new HashMap<>();
        inCharge.page("/release/SUB-2201")
                .select("main form input[type=hidden]")
                .forEach(input -> signed.put(input.attr("name"), input.val()));
        signed.put("reason", "first release");
        signed.put("password", Ashgrove.PASSWORD);
        assertThat(inCharge.post("/release/SUB-2201", signed).statusCode()).isEqualTo(303);
        assertThat(Browser.text(inCharge.submit(PAGE, CHANGE, form)))
                .contains("Submission SUB-2201 was released with", "which package water does not ask for");
        assertThat(ashgrove.book().sheets().versions("2026-11-25", "SUB-2201"))
                .extracting(SaidAnew::version)
                .containsExactly(0);
    }

    @Test
    void isForTheDockTheOneInChargeAndQuality() {
        for (PersonRole role : List.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY)) {
            assertThat(ashgrove.as(role).page(PAGE).select("form[action$=/change]"))
                    .as(role.phrase())
                    .hasSize(1);
        }
        assertThat(ashgrove.as(PersonRole.AUDITOR).page(PAGE).select("form[action$=/change]"))
                .isEmpty();
        assertThat(ashgrove.as(PersonRole.BENCH).get(PAGE).statusCode()).isEqualTo(404);
    }
}
