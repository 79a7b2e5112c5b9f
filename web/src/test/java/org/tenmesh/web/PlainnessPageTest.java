package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

/** What holds for every page of every role: W3C, Web Content Accessibility Guidelines 2.2 (2023), the parts a parser can see. */
class PlainnessPageTest {
    private static Ashgrove ashgrove;
    private static final List<Page> PAGES = new ArrayList<>();

    private record Page(String name, Document document) {}

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(60);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        quality.submit(
                "/causes",
                "/causes/act",
                Map.of("cause", InventedDay.GATE, "evidence", InventedDay.EVIDENCE, "action", "order-redo"));
        for (PersonRole role : PersonRole.values()) {
            Browser browser = ashgrove.as(role);
            for (Route route : ashgrove.server().routes()) {
                if (route.verb() == Route.Verb.GET) {
                    String path = Places.one(route, ashgrove);
                    HttpResponse<byte[]> answer = browser.get(path);
                    if (answer.headers().firstValue("Content-Type").orElse("").startsWith("text/html")
                            && answer.body().length > 0) {
                        PAGES.add(new Page(path + " as " + role.phrase(), Jsoup.parse(Browser.text(answer))));
                    }
                }
            }
        }
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    @Test
    void hasOneHeadingATitleALanguageAndASkipLink() {
        assertThat(PAGES).hasSizeGreaterThan(60);
        for (Page page : PAGES) {
            assertThat(page.document().select("h1")).as(page.name()).hasSize(1);
            assertThat(page.document().title()).as(page.name()).isNotBlank().contains("Ashgrove");
            assertThat(page.document().expectFirst("html").attr("lang"))
                    .as(page.name())
                    .isEqualTo("en");
            assertThat(page.document().expectFirst("a.skip").attr("href"))
                    .as(page.name())
                    .isEqualTo("#main");
            assertThat(page.document().select("main#main")).as(page.name()).hasSize(1);
        }
    }

    @Test
    void saysOnEveryPageThatTheLaboratoryIsInvented() {
        for (Page page : PAGES) {
            assertThat(page.document().select("header .invented").text())
                    .as(page.name())
                    .isEqualTo("invented");
        }
    }

    @Test
    void namesEveryFieldAndEveryButton() {
        for (Page page : PAGES) {
            for (Element field :
                    page.document().select("input:not([type=hidden]):not([aria-hidden]), select, textarea")) {
                assertThat(page.document().select("label[for=" + field.id() + "]"))
                        .as("%s: %s", page.name(), field)
                        .hasSize(1);
            }
            for (Element button : page.document().select("button")) {
                assertThat(button.text()).as(page.name()).isNotBlank();
                assertThat(button.attr("type"))
                        .as("%s: %s", page.name(), button)
                        .isEqualTo("submit");
            }
        }
    }

    @Test
    void givesEveryTableACaptionAndScopedHeadings() {
        for (Page page : PAGES) {
            for (Element table : page.document().select("table")) {
                assertThat(table.select("caption").text()).as(page.name()).isNotBlank();
                assertThat(table.select("th:not([scope])")).as(page.name()).isEmpty();
            }
        }
    }

    @Test
    void givesEveryDrawingATitle() {
        for (Page page : PAGES) {
            for (Element drawing : page.document().select("svg")) {
                // What can be reached inside a picture would be out of reach in an image.
                boolean points = !drawing.select("[tabindex], a").isEmpty();
                assertThat(drawing.attr("role")).as(page.name()).isEqualTo(points ? "group" : "img");
                for (Element point : drawing.select("[tabindex], a")) {
                    assertThat(point.select("> title").text()).as(page.name()).isNotBlank();
                }
                assertThat(drawing.select("> title").text()).as(page.name()).isNotBlank();
            }
        }
    }

    @Test
    void usesEachIdOnceAndNothingInline() {
        for (Page page : PAGES) {
            List<String> ids = page.document().select("[id]").eachAttr("id");
            assertThat(ids).as(page.name()).doesNotHaveDuplicates();
            assertThat(page.document().select("[style], style, script:not([src]), [onclick], [onload]"))
                    .as(page.name())
                    .isEmpty();
            for (String from : page.document().select("[src], link[href]").eachAttr("src")) {
                assertThat(from)
                        .as(page.name())
                        .satisfiesAnyOf(
                                s -> assertThat(s).isEmpty(), s -> assertThat(s).startsWith("/assets/"));
            }
        }
    }

    @Test
    void keepsMarkupInNamesFromBecomingMarkup() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        HttpResponse<byte[]> answer = browser.get("/find?q=%3Cscript%3Ealert(1)%3C/script%3E");
        assertThat(Browser.text(answer))
                .contains("&lt;script&gt;alert(1)&lt;/script&gt;")
                .doesNotContain("<script>alert");
        browser.submit("/people", "/people", Map.of("name", "<b>bold</b>", "role", "bench"));
        assertThat(browser.page("/people").select("b:contains(bold)")).isEmpty();
    }

    @Test
    void keepsAssetsForeverUnderANameThatChangesWithThem() {
        Document page = ashgrove.visitor().page("/sign-in");
        String css = page.expectFirst("link[rel=stylesheet]").attr("href");
        assertThat(css).matches("/assets/tenmesh-[0-9a-f]{16}\\.css");
        HttpResponse<byte[]> answer = ashgrove.visitor().get(css);
        assertThat(answer.headers().firstValue("Cache-Control").orElseThrow()).contains("immutable");
        assertThat(Browser.text(answer)).contains("prefers-color-scheme", "prefers-reduced-motion", "tabular-nums");
        assertThat(ashgrove.visitor()
                        .get("/assets/tenmesh-0000000000000000.css")
                        .statusCode())
                .isEqualTo(404);
    }
}
