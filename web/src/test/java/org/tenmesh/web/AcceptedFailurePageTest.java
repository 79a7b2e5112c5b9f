package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.HashMap;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.people.PersonRole;

/** What is fit only because somebody accepted a failed check says so wherever it is shown. */
class AcceptedFailurePageTest {
    private static final String REASON = "second portion agrees";
    private static final String WHO = "invented quality";
    private static final String DRAFT = "/release/SUB-2201";

    private Ashgrove ashgrove = Ashgrove.open(60);

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private void accept(PersonRole role) {
        HttpResponse<byte[]> answer = ashgrove.as(role)
                .submit(
                        "/causes",
                        "/causes/act",
                        Map.of(
                                "cause",
                                InventedDay.DRIFT,
                                "evidence",
                                InventedDay.EVIDENCE,
                                "action",
                                "accept",
                                "reason",
                                REASON));
        assertThat(answer.statusCode()).isEqualTo(303);
    }

    private HttpResponse<byte[]> sign(PersonRole role) {
        return sign(ashgrove.as(role));
    }

    private static HttpResponse<byte[]> sign(Browser browser) {
        Map<String, String> form = new HashMap<>();
        browser.page(DRAFT).select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.putIfAbsent(
                "csrf", browser.page(DRAFT).expectFirst("input[name=csrf]").val());
        form.putIfAbsent("revision", "1");
        form.putIfAbsent("version", browser.page(DRAFT).expectFirst("html").attr("data-version"));
        form.put("reason", "first release");
        form.put("password", Ashgrove.PASSWORD);
        return browser.post(DRAFT, form);
    }

    private Result accepted() {
        return ashgrove.server().currentDay().desk().orElseThrow().standing("SUB-2201").stream()
                .filter(Result::isAccepted)
                .findFirst()
                .orElseThrow();
    }

    @Test
    void isSaidOfTheSubmissionInPlaceOfCompleteAndFit() {
        accept(PersonRole.QUALITY);
        long results = ashgrove.server().currentDay().desk().orElseThrow().standing("SUB-2201").stream()
                .filter(Result::isAccepted)
                .count();
        assertThat(results).isPositive();
        Document page = ashgrove.as(PersonRole.CLIENT_SERVICE).page("/submissions/SUB-2201");
        assertThat(page.text())
                .contains("complete, " + results + " results accepted with reason")
                .doesNotContain("complete and fit");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/today").text())
                .contains("with results accepted with reason");
    }

    @Test
    void isSaidOnTheRunWithNameAndReason() {
        accept(PersonRole.QUALITY);
        Document run = ashgrove.as(PersonRole.IN_CHARGE).page("/runs/mehlich-1");
        assertThat(run.expectFirst("div.strip svg").outerHtml()).doesNotContain("redo");
        assertThat(run.text()).contains("is not shaded: accepted by " + WHO + ", " + REASON);
        assertThat(run.select("tbody tr").eachText())
                .anySatisfy(row -> assertThat(row).contains("accepted by " + WHO + ", " + REASON));
    }

    @Test
    void isSaidOnTheSoil() {
        accept(PersonRole.QUALITY);
        Result result = accepted();
        Document soil = ashgrove.as(PersonRole.IN_CHARGE)
                .page("/soils/" + result.labNumber().text() + "?why=" + result.method() + "." + result.analyte());
        assertThat(soil.text()).contains("fit only because a failed check was accepted", "Accepted by " + WHO, REASON);
    }

    @Test
    void isShownBeforeSigningAndStaysWithTheRelease() {
        accept(PersonRole.QUALITY);
        Document draft = ashgrove.as(PersonRole.IN_CHARGE).page(DRAFT);
        assertThat(draft.expectFirst("section[aria-labelledby=accepted]").text())
                .contains("Accepted by " + WHO, REASON);
        assertThat(draft.select("td small").eachText()).contains("accepted");
        assertThat(sign(PersonRole.QUALITY).statusCode()).isEqualTo(303);
        Release release = ashgrove.book().releases("").get(0);
        assertThat(release.results())
                .filteredOn(ReleasedResult::isAccepted)
                .isNotEmpty()
                .allSatisfy(r -> assertThat(r.despite()).isEqualTo("drift along the run"))
                .extracting(ReleasedResult::analyte)
                .containsOnly("K", "Mg");
    }

    @Test
    void mayNotBeSignedByWhoAcceptedItWhereTheLaboratoryAsksForASecondPerson() {
        ashgrove.close();
        ashgrove = Ashgrove.open(InventedDay.of(60, Ashgrove.METHODS).with(new AcceptedFailures(true, true)));
        accept(PersonRole.QUALITY);
        assertThat(ashgrove.as(PersonRole.QUALITY).page(DRAFT).select("main form"))
                .isEmpty();
        HttpResponse<byte[]> refused = sign(PersonRole.QUALITY);
        assertThat(refused.statusCode()).isEqualTo(403);
        assertThat(Browser.text(refused))
                .contains("this laboratory asks for a second person to sign", "May sign: invented in charge.");
        assertThat(ashgrove.book().releases("")).isEmpty();
        assertThat(sign(PersonRole.IN_CHARGE).statusCode()).isEqualTo(303);
        assertThat(ashgrove.book().releases("").get(0).signedBy()).isEqualTo("invented in charge");
    }

    /** A new name is not a second person. */
    @Test
    void mayNotBeSignedByWhoAcceptedItUnderAnotherName() {
        ashgrove.close();
        ashgrove = Ashgrove.open(InventedDay.of(60, Ashgrove.METHODS).with(new AcceptedFailures(true, true)));
        accept(PersonRole.QUALITY);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.submit("/people", "/people/rename", Map.of("name", WHO, "new-name", "A. Newname"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/people").text()).contains("A. Newname formerly " + WHO);
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/causes").text()).contains("by " + WHO);
        HttpResponse<byte[]> refused = sign(quality);
        assertThat(refused.statusCode()).isEqualTo(403);
        assertThat(Browser.text(refused)).contains("May sign: invented in charge.");
        assertThat(ashgrove.book().releases("")).isEmpty();
    }
}
