package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.HashMap;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;

class ProgramsPageTest {
    private static final Map<String, String> FORM =
            Map.of("program", "field office", "feed", "yes", "results", "yes", "sees", "own", "ends", "2027-03-31");

    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> changes(String token) {
        return ashgrove.visitor()
                .send(HttpRequest.newBuilder(ashgrove.server().address().resolve("/interface/v1/changes"))
                        .header("Authorization", "Bearer " + token)
                        .build());
    }

    @Test
    void aTokenIsShownOnceListedAndWithdrawnWithAReason() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(inCharge.page("/programs").text()).contains("No token has been made yet");
        HttpResponse<byte[]> made = inCharge.submit("/programs", "/programs", FORM);
        assertThat(made.statusCode()).isEqualTo(200);
        String token =
                org.jsoup.Jsoup.parse(Browser.text(made)).expectFirst("#once").text();
        assertThat(changes(token).statusCode()).isEqualTo(200);
        Document page = inCharge.page("/programs");
        assertThat(page.text())
                .contains("field office", "follow changes, read submissions", "what it registered", "1 Apr 2027")
                .doesNotContain(token);
        assertThat(inCharge.submit("/programs", "/programs/withdraw", Map.of("token", "1", "reason", " "))
                        .statusCode())
                .isEqualTo(409);
        assertThat(changes(token).statusCode()).isEqualTo(200);
        assertThat(inCharge.submit("/programs", "/programs/withdraw", Map.of("token", "1", "reason", "laptop lost"))
                        .statusCode())
                .isEqualTo(303);
        assertThat(changes(token).statusCode()).isEqualTo(401);
        assertThat(inCharge.page("/programs").text()).contains("withdrawn", "laptop lost");
        assertThat(ashgrove.book().journal(2))
                .extracting(entry -> entry.what())
                .containsExactly("token-withdrawn", "token-made");
    }

    @Test
    void whatIsMissingIsToldAndNothingIsMade() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        for (Map.Entry<String, String> without : FORM.entrySet()) {
            Map<String, String> form = new HashMap<>(FORM);
            form.remove(without.getKey());
            if (without.getValue().equals("yes")) {
                form.remove("feed");
                form.remove("results");
            }
            assertThat(inCharge.submit("/programs", "/programs", form).statusCode())
                    .as("without " + without.getKey())
                    .isIn(400, 409);
        }
        assertThat(ashgrove.book().programs().tokens()).isEmpty();
    }

    @Test
    void theAuditorSeesTokensAndMakesNone() {
        ashgrove.as(PersonRole.IN_CHARGE).submit("/programs", "/programs", FORM);
        Document page = ashgrove.as(PersonRole.AUDITOR).page("/programs");
        assertThat(page.text()).contains("field office");
        assertThat(page.select("main form")).isEmpty();
    }
}
