package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.List;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.people.PersonRole;

class IntakePageTest {
    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> drop(PersonRole role, String text, Map<String, String> fields) {
        return ashgrove.as(role).drop("/intake", "/intake/take", fields, "sheet", "..\\own/soils.csv", text);
    }

    private static String labels(int soils) {
        StringBuilder sheet = new StringBuilder("Sample\n");
        for (int i = 1; i <= soils; i++) {
            sheet.append('F').append(i).append('\n');
        }
        return sheet.toString();
    }

    @Test
    void aWorksheetWithProblemsIsShownLineByLineAndNotTaken() {
        HttpResponse<byte[]> answer =
                drop(PersonRole.CLIENT_SERVICE, "Sample\nA\n \nC\n", Map.of("client", "Tern Bay (invented)"));
        assertThat(answer.statusCode()).isEqualTo(400);
        assertThat(Browser.text(answer)).contains("1 problem in soils.csv", "A3", "an empty cell");
        assertThat(ashgrove.book().sheets().waiting()).hasSize(1);
    }

    @Test
    void aSoundOneIsTakenSaidAnewWithAReasonOrLeft() {
        assertThat(Browser.text(drop(PersonRole.CLIENT_SERVICE, "Sample\nA\n", Map.of())))
                .contains("does not say who sent it");
        HttpResponse<byte[]> answer = drop(
                PersonRole.CLIENT_SERVICE,
                "Sample\nLong Acre\nPond field\n",
                Map.of("client", "Tern Bay (invented)", "promised", "2026-11-28"));
        assertThat(answer.statusCode()).isEqualTo(303);
        String address = answer.headers().firstValue("Location").orElseThrow();
        Browser service = ashgrove.as(PersonRole.CLIENT_SERVICE);
        Document page = service.page(address);
        assertThat(page.text()).contains("2 soils of Tern Bay (invented)", "Long Acre", "Pond field", "soils.csv");
        Map<String, String> changed = Map.of(
                "submission", address.substring("/intake/".length()),
                "version", "1",
                "client", "Tern Bay Growers (invented)",
                "promised", "2026-11-30",
                "reason", "client rang");
        assertThat(service.submit(address, "/intake/change", changed).statusCode())
                .isEqualTo(303);
        assertThat(service.submit(address, "/intake/change", changed).statusCode())
                .as("the page shows an older version")
                .isEqualTo(409);
        Document later = service.page(address);
        assertThat(later.text()).contains("Tern Bay Growers (invented)", "Version 2");
        String person = Ashgrove.name(PersonRole.CLIENT_SERVICE);
        assertThat(later.select("[aria-labelledby=changed] tbody tr").eachText())
                .as("what was said first, by whom, and why it is said anew")
                .hasSize(2)
                .anyMatch(line -> line.startsWith("client Tern Bay (invented) (" + person)
                        && line.contains("Tern Bay Growers (invented) client rang " + person))
                .anyMatch(line -> line.startsWith("promised on Sat 28 Nov 2026 (" + person)
                        && line.contains("Mon 30 Nov 2026 client rang"));
        assertThat(service.submit(
                                address,
                                "/intake/leave",
                                Map.of("submission", changed.get("submission"), "reason", "sent twice"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.book().sheets().waiting()).hasSize(1);
    }

    @Test
    void qualityAloneLaysOutAndEverySoilGetsANumberWithControlsAmongThem() {
        drop(PersonRole.IN_CHARGE, labels(30), Map.of("client", "Tern Bay (invented)"));
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page("/intake").text()).doesNotContain("hidden");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .submit("/intake", "/intake/layout", Map.of())
                        .statusCode())
                .isEqualTo(404);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        // SUB-2201 is on the day's list already, so its worksheet only waits no longer.
        quality.submit("/intake", "/intake/layout", Map.of());
        assertThat(ashgrove.book().sheets().waiting())
                .as("nothing is laid out that is not booked in")
                .extracting(one -> one.submission())
                .containsExactly("SUB-9001");
        assertThat(Browser.text(quality.submit("/intake", "/intake/layout", Map.of())))
                .contains("Nothing is booked in");
        ashgrove.bookIn("SUB-9001", 30);
        assertThat(quality.submit("/intake", "/intake/layout", Map.of()).statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.book().sheets().waiting()).isEmpty();
        Day day = ashgrove.book()
                .day("2026-11-25 laid out", java.util.Optional.empty())
                .day();
        List<String> clients = day.soils().stream()
                .flatMap(soil -> soil.clientLabel().stream())
                .toList();
        assertThat(clients).hasSize(30);
        assertThat(day.controls()).isNotEmpty();
        assertThat(day.soils()).hasSize(30 + day.controls().size());
        assertThat(day.trays().stream()
                        .flatMap(tray -> tray.wells().stream())
                        .flatMap(place -> place.labNumber().stream()))
                .hasSize(day.soils().size());
        assertThat(day.soils().stream().map(soil -> soil.labNumber().text()))
                .doesNotContainAnyElementsOf(ashgrove.invented().day().soils().stream()
                        .map(soil -> soil.labNumber().text())
                        .toList());
    }

    @Test
    void aFileThatIsTooLargeAndOneWhereNoneIsTakenAreRefused() {
        HttpResponse<byte[]> large =
                drop(PersonRole.QUALITY, "Sample\n" + "x".repeat(3_000_000), Map.of("client", "x"));
        assertThat(large.statusCode()).isBetween(400, 413);
        assertThat(ashgrove.as(PersonRole.QUALITY)
                        .drop("/intake", "/intake/change", Map.of(), "sheet", "a.csv", "Sample\nA\n")
                        .statusCode())
                .isEqualTo(400);
        assertThat(ashgrove.book().sheets().waiting()).hasSize(1);
    }
}
