package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

/** Before the first import, and on a day on which nothing has happened yet. */
class EmptyPageTest {
    private static final Day NOTHING = MadeDay.empty().day();

    @Test
    void saysOnEveryPageThatThereIsNoDayYet() {
        try (Ashgrove ashgrove = Ashgrove.empty()) {
            for (PersonRole role : PersonRole.values()) {
                Browser browser = ashgrove.as(role);
                for (String path : List.of(
                        "/today", "/causes", "/runs", "/gates", "/differences", "/trays", "/bench", "/submissions")) {
                    HttpResponse<byte[]> answer = browser.get(path);
                    assertThat(answer.statusCode()).as("%s as %s", path, role).isIn(200, 404);
                    if (answer.statusCode() == 200) {
                        assertThat(Browser.text(answer)).as(path).contains("No day yet");
                    }
                }
            }
        }
    }

    @Test
    void drawsADayOnWhichNothingHasHappened() {
        JudgedDay judged = new JudgedDay(List.of(), List.of(), List.of(), List.of());
        try (Ashgrove ashgrove = Ashgrove.open(new InventedDay(NOTHING, judged))) {
            Browser quality = ashgrove.as(PersonRole.QUALITY);
            for (Route route : ashgrove.server().routes()) {
                if (route.verb() == Route.Verb.GET
                        && route.roles().contains(PersonRole.QUALITY)
                        && !route.path().contains("{")) {
                    assertThat(quality.get(route.path()).statusCode())
                            .as(route.path())
                            .isIn(200, 303);
                }
            }
            assertThat(quality.page("/today").text())
                    .contains("0 soils in work", "None. Everything that was read is fit.");
        }
    }
}
