package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.desk.Station;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

class ReleasePageTest {
    private static final String PAGE = "/release/SUB-2201";

    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> sign(Browser browser, String reason, String password) {
        Document page = browser.page(PAGE);
        Map<String, String> form = new HashMap<>();
        page.select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.put("reason", reason);
        form.put("password", password);
        return browser.post(PAGE, form);
    }

    @Test
    void releasesNothingForAWrongPassword() {
        HttpResponse<byte[]> answer = sign(ashgrove.as(PersonRole.QUALITY), "first release", "not the right one");
        assertThat(answer.statusCode()).isEqualTo(403);
        assertThat(Browser.text(answer)).contains("That is not your password. Nothing was released.");
        assertThat(ashgrove.book().releases("")).isEmpty();
    }

    @Test
    void releasesWhatIsFitAndHoldsBackTheRestWithTheReason() {
        assertThat(sign(ashgrove.as(PersonRole.QUALITY), "first release", Ashgrove.PASSWORD)
                        .statusCode())
                .isEqualTo(303);
        Release release = ashgrove.book().releases("").get(0);
        assertThat(release.signedBy()).isEqualTo("invented quality");
        assertThat(release.revision()).isEqualTo(1);
        assertThat(release.results())
                .filteredOn(r -> !r.heldBecause().isEmpty())
                .isNotEmpty()
                .allSatisfy(r -> assertThat(r.reported()).isEmpty())
                .extracting(r -> r.analyte())
                .containsOnly("K", "Mg");
        assertThat(release.results())
                .filteredOn(r -> r.heldBecause().isEmpty())
                .allSatisfy(r -> assertThat(r.reported()).isNotEmpty());
    }

    @Test
    void needsSomethingNewForASecondRevision() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        sign(quality, "first release", Ashgrove.PASSWORD);
        assertThat(quality.page(PAGE).text()).contains("nothing new to sign");
        assertThat(quality.page(PAGE).select("#since"))
                .as("nothing has changed since it was signed")
                .isEmpty();
        quality.submit(
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
                        "second portion agrees"));
        for (PersonRole role : List.of(PersonRole.QUALITY, PersonRole.CLIENT_SERVICE, PersonRole.AUDITOR)) {
            for (String page : List.of(PAGE, PAGE.replace("/release/", "/submissions/"))) {
                assertThat(ashgrove.as(role).page(page).select("#since").text())
                        .as("DI-10: a later change is said beside the signature, " + page + " as " + role)
                        .contains("Of revision 1 ", " changed since invented quality signed it", "not released then, ")
                        .contains("The signature does not stand for what is here now");
            }
        }
        assertThat(sign(quality, "potassium and magnesium accepted", Ashgrove.PASSWORD)
                        .statusCode())
                .isEqualTo(303);
        List<Release> releases = ashgrove.book().releases("");
        assertThat(releases).extracting(Release::revision).containsExactly(1, 2);
        assertThat(releases.get(1).results())
                .allSatisfy(r -> assertThat(r.heldBecause()).isEmpty());
        assertThat(quality.page("/reports").select("tbody tr")).hasSize(2);
    }

    @Test
    void releasesWhatIsCompleteOfATrayInOneActAndNothingElse() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        String tray = ashgrove.invented().day().trays().get(1).tray();
        Set<String> inIt = ashgrove.invented().day().trays().get(1).wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .flatMap(number -> ashgrove.invented().day().soils().stream()
                        .filter(soil -> soil.labNumber().equals(number)))
                .flatMap(soil -> soil.submission().stream())
                .collect(Collectors.toSet());
        Document page = quality.page("/release?of=tray&name=" + tray);
        List<String> ready = page.select("input[type=checkbox]").eachAttr("name").stream()
                .map(name -> name.substring("sign.".length()))
                .toList();
        assertThat(ready).isNotEmpty();
        assertThat(inIt).containsAll(ready);
        assertThat(page.select("input[type=checkbox]:not([checked])")).isEmpty();
        assertThat(page.select("main table th[scope=row]").eachText()).isSubsetOf(inIt);
        assertThat(page.text()).contains("would be released");

        Map<String, String> form = new HashMap<>();
        page.select("main form[method=post] input[type=hidden], main input[type=checkbox]")
                .forEach(input -> form.put(input.attr("name"), input.val()));
        form.put("reason", "first release");
        form.put("password", "wrong");
        Document refused = Jsoup.parse(Browser.text(quality.post("/release", form)));
        assertThat(refused.text()).contains("Of tray " + tray, "Nothing was released");
        assertThat(ashgrove.book().releases("")).isEmpty();
        form.put("password", Ashgrove.PASSWORD);
        assertThat(quality.post("/release", form).statusCode()).isEqualTo(303);
        assertThat(ashgrove.book().releases(""))
                .extracting(Release::submission)
                .containsExactlyInAnyOrderElementsOf(ready);
        assertThat(quality.get("/release?of=tray&name=NOT-THERE").statusCode()).isEqualTo(404);
    }

    @Test
    void listsWhatACauseTouchedApartFromTheRestOfTheDay() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Document page = quality.page("/release?of=cause&name=" + Words.part(InventedDay.DRIFT));
        List<String> shown = page.select("main table th[scope=row]").eachText();
        assertThat(shown).isNotEmpty();
        assertThat(quality.page("/release").select("main table th[scope=row]").eachText())
                .containsAll(shown)
                .hasSizeGreaterThan(shown.size());
    }

    @Test
    void signsOnlyWhatThePersonSaw() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Map<String, String> form = new HashMap<>();
        quality.page(PAGE).select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.put("reason", "first release");
        form.put("password", Ashgrove.PASSWORD);
        quality.submit(
                "/causes",
                "/causes/act",
                Map.of("cause", InventedDay.GATE, "evidence", InventedDay.EVIDENCE, "action", "order-redo"));
        HttpResponse<byte[]> answer = quality.post(PAGE, form);
        assertThat(answer.statusCode()).isEqualTo(409);
        assertThat(Browser.text(answer)).contains("The day changed after this page was drawn");
        assertThat(ashgrove.book().releases("")).isEmpty();
    }

    @Test
    void givesTheReportAsPdfToClientServiceAndNotToTheBench() {
        sign(ashgrove.as(PersonRole.IN_CHARGE), "first release", Ashgrove.PASSWORD);
        HttpResponse<byte[]> pdf = ashgrove.as(PersonRole.CLIENT_SERVICE).get("/reports/SUB-2201/1");
        assertThat(pdf.statusCode()).isEqualTo(200);
        assertThat(pdf.headers().firstValue("Content-Type")).hasValue("application/pdf");
        assertThat(pdf.headers().firstValue("Content-Disposition"))
                .hasValue("attachment; filename=\"sub-2201-revision-1.pdf\"");
        assertThat(new String(pdf.body(), 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
        assertThat(ashgrove.as(PersonRole.BENCH).get("/reports/SUB-2201/1").statusCode())
                .isEqualTo(404);
        assertThat(ashgrove.as(PersonRole.AUDITOR).get("/reports/SUB-2201/2").statusCode())
                .isEqualTo(404);
    }

    @Test
    void opensTheReportThatWasKeptAndGivesItsTables() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        sign(quality, "first release", Ashgrove.PASSWORD);
        byte[] kept = ashgrove.book().report("", "SUB-2201", 1).orElseThrow().pdf();
        assertThat(quality.get("/reports/SUB-2201/1").body()).isEqualTo(kept);
        HttpResponse<byte[]> csv = quality.get("/reports/SUB-2201/1/csv");
        assertThat(new String(csv.body(), StandardCharsets.UTF_8))
                .startsWith("submission,revision,lab_number,")
                .contains("SUB-2201,1,");
        assertThat(quality.get("/reports/SUB-2201/1/xlsx").body()).startsWith('P', 'K');
        assertThat(quality.get("/reports/SUB-2201/1/doc").statusCode()).isEqualTo(404);
    }

    @Test
    void makesTheReportOfAnOlderReleaseOnceAndSaysSo() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        sign(quality, "first release", Ashgrove.PASSWORD);
        ashgrove.book().forgetReports();
        HttpResponse<byte[]> made = quality.get("/reports/SUB-2201/1");
        assertThat(made.headers().firstValue("Content-Disposition").orElseThrow())
                .contains("-made-later-");
        assertThat(quality.get("/reports/SUB-2201/1").body()).isEqualTo(made.body());
    }

    @Test
    void showsAPreviewBeforeAnythingIsSigned() {
        Browser service = ashgrove.as(PersonRole.CLIENT_SERVICE);
        Document page = service.page(PAGE);
        List<String> previews = page.select("a[href*=/preview/]").eachAttr("href");
        assertThat(previews).hasSize(2);
        for (String preview : previews) {
            HttpResponse<byte[]> pdf = service.get(preview);
            assertThat(pdf.statusCode()).isEqualTo(200);
            assertThat(new String(pdf.body(), 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
        }
        assertThat(ashgrove.book().releases("")).isEmpty();
    }

    @Test
    void keepsTheChosenFormForTheNextRevision() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Map<String, String> form = new HashMap<>();
        quality.page(PAGE).select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.putAll(Map.of(
                "reason", "first release", "password", Ashgrove.PASSWORD, "layout", "soil-pages", "paper", "letter"));
        assertThat(quality.post(PAGE, form).statusCode()).isEqualTo(303);
        assertThat(ashgrove.book().lastReportForm("", "SUB-2201"))
                .contains(new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.SOIL_PAGES));
    }

    /** The form that is proposed and taken where nobody chooses another. */
    @Test
    void aReportHasTheFormThatTheLaboratorySetForTheClient() {
        ReportForm pages = new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.SOIL_PAGES);
        InventedDay day = InventedDay.of(60, Ashgrove.METHODS);
        String client = day.day().submissions().stream()
                .filter(one -> one.submission().equals("SUB-2201"))
                .findFirst()
                .orElseThrow()
                .client();
        try (Ashgrove set = Ashgrove.open(day.with(new ReportForms(ReportForm.defaults(), Map.of(client, pages))))) {
            Browser quality = set.as(PersonRole.QUALITY);
            assertThat(quality.page(PAGE).select("select option[selected]").eachAttr("value"))
                    .containsExactly("soil-pages", "letter");
            assertThat(quality.page("/release/SUB-2202")
                            .select("select option[selected]")
                            .eachAttr("value"))
                    .containsExactly("table", "a4");
            Map<String, String> form = new HashMap<>();
            quality.page(PAGE).select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
            form.putAll(Map.of("reason", "first release", "password", Ashgrove.PASSWORD));
            assertThat(quality.post(PAGE, form).statusCode()).isEqualTo(303);
            assertThat(set.book().lastReportForm("", "SUB-2201")).contains(pages);
        }
    }

    @Test
    void signsSeveralWithOnePasswordOrNone() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Document draft = quality.page(PAGE);
        Map<String, String> form = new HashMap<>();
        draft.select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.remove("revision");
        form.putAll(Map.of("reason", "first release", "password", Ashgrove.PASSWORD));

        HttpResponse<byte[]> none = quality.post("/release", form);
        assertThat(none.statusCode()).isEqualTo(400);
        assertThat(Browser.text(none)).contains("No submission was chosen");

        form.put("sign.SUB-2201", "1");
        form.put("sign.SUB-9999", "1");
        HttpResponse<byte[]> unknown = quality.post("/release", form);
        assertThat(unknown.statusCode()).isEqualTo(404);
        assertThat(Browser.text(unknown)).contains("Submission SUB-9999 is not there any more. Nothing was released.");
        assertThat(ashgrove.book().releases("")).isEmpty();

        form.remove("sign.SUB-9999");
        form.put("sign.SUB-2201", "2");
        assertThat(quality.post("/release", form).statusCode()).isEqualTo(409);

        form.put("sign.SUB-2201", "1");
        assertThat(quality.post("/release", form).statusCode()).isEqualTo(303);
        assertThat(ashgrove.book().releases("")).hasSize(1);
        assertThat(ashgrove.book().report("", "SUB-2201", 1)).isPresent();
    }

    @Test
    void showsClientServiceWhatWouldLeaveButNoFormToSign() {
        Document page = ashgrove.as(PersonRole.CLIENT_SERVICE).page(PAGE);
        assertThat(page.select("main form")).isEmpty();
        assertThat(page.text()).contains("What would be released");
    }

    @Test
    void movesTheTrayToTheShelfWhenAllOfItHasLeft() {
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        quality.submit(
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
                        "second portion agrees"));
        sign(quality, "first release", Ashgrove.PASSWORD);
        assertThat(ashgrove.server()
                        .currentDay()
                        .desk()
                        .orElseThrow()
                        .trayStates()
                        .get(0)
                        .station())
                .isEqualTo(Station.SHELF);
        assertThat(quality.page("/today").expectFirst("ol.band > li:last-child").text())
                .contains("Shelf 1 tray released");
    }
}
