package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URLEncoder;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.store.people.PersonRole;

/** One field finds whatever somebody at a telephone, a bench or a desk knows of a soil. */
class FindPageTest {
    private static final InventedDay DAY = InventedDay.of(110, Ashgrove.METHODS);

    private static HttpResponse<byte[]> find(Browser browser, String text) {
        return browser.get("/find?q=" + URLEncoder.encode(text, StandardCharsets.UTF_8));
    }

    private static String location(HttpResponse<byte[]> answer) {
        return answer.headers().firstValue("Location").orElse("");
    }

    private static List<String> listed(HttpResponse<byte[]> answer, String heading) {
        Document page = Jsoup.parse(Browser.text(answer));
        return page.select("section").stream()
                .filter(section -> section.select("h2").text().startsWith(heading))
                .flatMap(section -> section.select("li").eachText().stream())
                .toList();
    }

    @Test
    void findsAClientByPartOfTheNameInAnyCase() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Submission one = DAY.day().submissions().get(0);
            Browser browser = ashgrove.as(PersonRole.CLIENT_SERVICE);
            String part = one.client().substring(0, 5).toUpperCase();
            HttpResponse<byte[]> answer = find(browser, part);
            List<String> expected = DAY.day().submissions().stream()
                    .filter(s -> s.client().toUpperCase().contains(part))
                    .map(s -> s.submission() + " " + s.client())
                    .toList();
            if (expected.size() == 1) {
                assertThat(location(answer)).endsWith("/submissions/" + one.submission());
            } else {
                assertThat(listed(answer, "Submissions")).containsExactlyElementsOf(expected);
            }
        }
    }

    @Test
    void findsTheLabelThatAClientWrote() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Soil soil = DAY.day().soils().stream()
                    .filter(s -> s.clientLabel().isPresent())
                    .findFirst()
                    .orElseThrow();
            HttpResponse<byte[]> answer =
                    find(ashgrove.as(PersonRole.IN_CHARGE), soil.clientLabel().orElseThrow());
            assertThat(location(answer) + listed(answer, "Labels"))
                    .contains(soil.labNumber().text());
        }
    }

    @Test
    void findsALabNumberByItsMiddleAndSaysHowManyMoreThereAre() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            LabNumber number = Places.soil(DAY);
            String serial = number.text().substring(6, 10);
            HttpResponse<byte[]> answer = find(browser, serial);
            assertThat(location(answer) + listed(answer, "Lab numbers")).contains(number.text());
            Document many = Jsoup.parse(Browser.text(find(browser, "26329")));
            int all = DAY.day().soils().size();
            assertThat(many.select("h2").eachText().get(0)).isEqualTo("Lab numbers " + all);
            assertThat(many.text()).contains(all - 24 + " more");
        }
    }

    @Test
    void findsRunsByTheirInstrumentAndMethodsByTheirTitle() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            String instrument = DAY.day().runs().get(0).instrument();
            HttpResponse<byte[]> runs = find(browser, instrument);
            assertThat(location(runs) + listed(runs, "Runs of an instrument"))
                    .contains(DAY.day().runs().get(0).run());
            String title =
                    Ashgrove.METHODS.versions("ph-water-1-1").get(0).head().title();
            HttpResponse<byte[]> method = find(browser, title);
            assertThat(location(method) + listed(method, "Methods")).isNotEmpty();
        }
    }

    @Test
    void givesTheBenchNoClientNoRunAndNoVerdict() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser bench = ashgrove.as(PersonRole.BENCH);
            HttpResponse<byte[]> client =
                    find(bench, DAY.day().submissions().get(0).client());
            assertThat(client.statusCode()).isEqualTo(404);
            HttpResponse<byte[]> run = find(bench, DAY.day().runs().get(0).run());
            assertThat(run.statusCode()).isEqualTo(404);
        }
    }

    @Test
    void countsNoHiddenControlForClientService() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Document page = Jsoup.parse(Browser.text(find(ashgrove.as(PersonRole.CLIENT_SERVICE), "26329")));
            long theirs = DAY.day().soils().stream()
                    .filter(s -> s.submission().isPresent())
                    .count();
            assertThat(page.select("h2").eachText().get(0)).isEqualTo("Lab numbers " + theirs);
        }
    }
}
