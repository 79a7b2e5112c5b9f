package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.people.PersonRole;

class JournalPageTest {
    private static final String DIGEST = "ab".repeat(32);
    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(12);
        for (int i = 0; i < 130; i++) {
            ashgrove.book().note("T. Sedge", "tray-moved", "tray " + i, Map.of("reason", "the bench was wet"));
        }
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    @Test
    void isNarrowedDownAndComesInParts() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        String asked = "/journal?who=T.%20Sedge&what=tray-moved&day=2026-11-25&about=TRAY";
        Document first = inCharge.page(asked);
        assertThat(first.select("tbody tr")).hasSize(100);
        assertThat(first.select("caption").text()).contains("130 entries", "100 of them here");
        assertThat(first.expectFirst("tbody tr").text())
                .contains("T. Sedge", "tray moved", "tray 129", "reason: the bench was wet");
        assertThat(first.select("#who option[selected]").text()).isEqualTo("T. Sedge");
        Document second = inCharge.page(first.expectFirst("a[rel=next]").attr("href"));
        assertThat(second.select("tbody tr")).hasSize(30);
        assertThat(second.select("a[rel=next]")).isEmpty();
        assertThat(inCharge.page("/journal?day=2026-11-24").text()).contains("No such entry.");
        assertThat(inCharge.page("/journal?day=last-week").text()).contains("is no day; write 2026-11-25");
        for (String day : new String[] {"+999999999-12-31", "-999999999-01-01"}) {
            assertThat(inCharge.page("/journal?day=" + day.replace("+", "%2B")).text())
                    .contains("No such entry.");
        }
    }

    /** The page is in parts, its file is not. */
    @Test
    void isWholeInAFile() {
        String csv = new String(
                ashgrove.as(PersonRole.AUDITOR)
                        .get("/journal?what=tray-moved&file=csv&table=1")
                        .body(),
                StandardCharsets.UTF_8);
        assertThat(csv.lines().filter(line -> line.contains("tray moved"))).hasSize(130);
    }

    @Test
    void saysWhatOneDidOneself() {
        ashgrove.book().note(Ashgrove.name(PersonRole.QUALITY), "gate-shut", "PH1-01", Map.of());
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Document page = quality.page(quality.page("/journal")
                .expectFirst("a:containsOwn(What I did)")
                .attr("href"));
        assertThat(page.select("tbody tr")).hasSize(1);
        assertThat(page.select("tbody").text()).contains("gate shut", "PH1-01");
    }

    /** Whoever is in charge learns nothing of the key: no digest taken over it, no reason that may name a control. */
    @Test
    void tellsWhoeverIsInChargeNothingOfTheKey() {
        ashgrove.book()
                .note(
                        "command line",
                        "day-not-judged",
                        "2026-11-26",
                        Map.of("reason", "control 26329-0005-X has no value", "contents", "[11,\"" + DIGEST + "\"]"));
        ashgrove.book().note("command line", "day-taken", "2026-11-26", Map.of("controls-sha256", DIGEST));
        String seen = ashgrove.as(PersonRole.IN_CHARGE).page("/journal").html();
        assertThat(seen).doesNotContain("26329-0005-X").doesNotContain("abababab");
        String sealed = ashgrove.as(PersonRole.QUALITY).page("/journal").html();
        assertThat(sealed).contains("26329-0005-X", "controls sha256: abababababab…");
    }

    /** What lies beside digests is read without them, and a time within stays as it is. */
    @Test
    void listsAreReadableWithoutTheirDigests() {
        ashgrove.book()
                .note(
                        "T. Sedge",
                        "day-taken",
                        "2026-11-25",
                        Map.of(
                                "contents",
                                "{\"soils\":[406,\"" + DIGEST + "\"],\"trays\":[37,\"" + DIGEST
                                        + "\"],\"at\":\"12:30:07\"}"));
        assertThat(ashgrove.as(PersonRole.IN_CHARGE)
                        .page("/journal?what=day-taken")
                        .text())
                .contains("contents: soils 406, trays 37, at 12:30:07")
                .doesNotContain("…");
        assertThat(ashgrove.as(PersonRole.QUALITY)
                        .page("/journal?what=day-taken")
                        .text())
                .contains("abababababab…");
    }

    @Test
    void anAnchorIsShownAndGivenAsAFileAndAsAMail() {
        Anchor anchor = ashgrove.book().anchor();
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        assertThat(quality.page("/journal").text()).contains(anchor.shortForm());
        assertThat(Anchor.in(text(quality, "/journal/anchor"))).contains(anchor);
        assertThat(text(quality, "/journal/anchor?as=mail"))
                .startsWith("Date: ")
                .contains("\r\nSubject: Journal of Tenmesh, entry ", "\r\n\r\n", anchor.line());
        assertThat(ashgrove.as(PersonRole.BENCH).get("/journal/anchor").statusCode())
                .isEqualTo(404);
    }

    private static String text(Browser browser, String address) {
        return new String(browser.get(address).body(), StandardCharsets.UTF_8);
    }
}
