package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Rights;

final class ChartsPageTest {
    /** Forty earlier days, a run each: a quiet saw-tooth about 6.4, of the first control that the day read. */
    private static ControlHistory earlier(InventedDay invented) {
        ControlValue value = invented.judged().controlValues().get(0);
        Run run = invented.day().runs().stream()
                .filter(one -> one.run().equals(value.run()))
                .findFirst()
                .orElseThrow();
        List<ChartValue> entries = new ArrayList<>();
        for (int day = 1; day <= 40; day++) {
            LocalDate date = run.startedAt().toLocalDate().minusDays(day);
            OffsetDateTime at = run.startedAt().minusDays(day);
            entries.add(new ChartValue(
                    new ChartKey(value.material(), value.method(), value.analyte(), run.instrument()),
                    date,
                    at,
                    "before-" + day,
                    9,
                    value.value() + 0.02 * (day % 5 - 2) - (day == 7 ? 0.5 : 0),
                    day == 7));
        }
        return new ControlHistory(entries, Map.of(), List.of(), List.of());
    }

    @Test
    void saysThatThereIsNoHistoryYetAndIsForThoseWhoSeeControls() {
        try (Ashgrove ashgrove = Ashgrove.open(60)) {
            Document page = ashgrove.as(PersonRole.QUALITY).page("/charts");
            assertThat(page.text()).contains("No history yet");
            assertThat(ashgrove.as(PersonRole.QUALITY)
                            .page("/charts?method=ph-water-1-1")
                            .text())
                    .contains("assigned value");
            // Without limits there is nothing to draw; the method that has some comes first.
            assertThat(page.expectFirst("nav a[aria-current=page]:not([href=/charts])")
                            .attr("href"))
                    .contains("method=ph-water-1-1");
            assertThat(page.select("figure.chart svg[role=group] a.point")).isNotEmpty();
            for (PersonRole role : PersonRole.values()) {
                assertThat(ashgrove.as(role).get("/charts").statusCode())
                        .as(role.phrase())
                        .isEqualTo(Rights.SEALED.contains(role) ? 200 : 404);
            }
        }
    }

    @Test
    void drawsFrozenLimitsMarksWhatFailedAndLeadsToTheRun() {
        InventedDay invented = InventedDay.of(60, Ashgrove.METHODS);
        String method = invented.judged().controlValues().get(0).method();
        try (Ashgrove ashgrove = Ashgrove.open(invented, earlier(invented))) {
            Document page = ashgrove.as(PersonRole.AUDITOR).page("/charts");
            assertThat(page.text()).contains("40 control values from 40 earlier days");
            Document chosen = ashgrove.as(PersonRole.AUDITOR).page("/charts?method=" + method);
            assertThat(page.text())
                    .contains("A triangle breaks one of the rules 1-3s, 2-2s, 4-1s, 10x; a square failed on its day.");
            assertThat(chosen.select("figure.chart").text()).contains("base period, 20 runs, from");
            assertThat(chosen.select("figure.chart td").eachText()).contains("failed on its day");
            assertThat(chosen.select("figure.chart svg a[href*=/runs/]")).isNotEmpty();
            drawsWhatTheTableSays(chosen);
            String href = chosen.expectFirst("figure.chart tbody a").attr("href");
            assertThat(ashgrove.as(PersonRole.AUDITOR).get(href).statusCode()).isEqualTo(200);
        }
    }

    /** Sixty earlier days of everything that a control soil gave. */
    private static ControlHistory longHistory(InventedDay invented) {
        List<ChartValue> entries = new ArrayList<>();
        for (ControlValue value : invented.judged().controlValues()) {
            Run run = invented.day().runs().stream()
                    .filter(one -> one.run().equals(value.run()))
                    .findFirst()
                    .orElseThrow();
            ChartKey key = new ChartKey(value.material(), value.method(), value.analyte(), run.instrument());
            for (int day = 1; day <= 60; day++) {
                OffsetDateTime at = run.startedAt().minusDays(day);
                entries.add(new ChartValue(
                        key,
                        at.toLocalDate(),
                        at,
                        "before-" + day,
                        9,
                        value.value() * (1 + 0.002 * (day % 5 - 2)),
                        false));
            }
        }
        return new ControlHistory(entries, Map.of(), List.of(), List.of());
    }

    @Test
    void drawsAFewWhatIsMarkedFirstAndListsEveryOne() {
        InventedDay invented = InventedDay.of(60, Ashgrove.METHODS);
        try (Ashgrove ashgrove = Ashgrove.open(invented, longHistory(invented))) {
            Browser browser = ashgrove.as(PersonRole.AUDITOR);
            String address = "/charts?method=mehlich3-icp";
            Document page = browser.page(address);
            assertThat(browser.get(address).body().length).isLessThan(150_000);
            List<Element> lines = page.select("section[aria-labelledby=every] tbody tr");
            List<Element> drawn = page.select("figure.chart");
            assertThat(lines.size()).isGreaterThan(drawn.size());
            assertThat(drawn).hasSize(6);
            List<Boolean> marked =
                    lines.stream().map(line -> !line.select(".word").isEmpty()).toList();
            assertThat(marked).isSortedAccordingTo((a, b) -> Boolean.compare(b, a));
            long open = drawn.stream()
                    .filter(chart -> !chart.select("figcaption .word").isEmpty())
                    .count();
            assertThat(open)
                    .isEqualTo(Math.min(6, marked.stream().filter(one -> one).count()));
            // Every chart is drawn where its line leads, or on a part of that.
            for (String href : lines.stream()
                    .map(line -> line.expectFirst("a").attr("href"))
                    .distinct()
                    .toList()) {
                String analyte = lines.stream()
                        .filter(line -> line.expectFirst("a").attr("href").equals(href))
                        .findFirst()
                        .orElseThrow()
                        .expectFirst("th")
                        .text();
                long its = lines.stream()
                        .filter(line -> line.expectFirst("th").text().equals(analyte))
                        .count();
                Document chosen = browser.page(href);
                List<String> titles =
                        new ArrayList<>(chosen.select("figure.chart b").eachText());
                for (Element part : chosen.select("nav[aria-label^=Parts] a:not([aria-current])")) {
                    titles.addAll(browser.page(part.attr("href"))
                            .select("figure.chart b")
                            .eachText());
                }
                assertThat(titles)
                        .as(href)
                        .hasSize((int) its)
                        .allMatch(title -> title.toLowerCase(Locale.ROOT).startsWith(analyte.toLowerCase(Locale.ROOT)));
            }
        }
    }

    private static void drawsWhatTheTableSays(Document page) {
        for (Element chart : page.select("figure.chart:has(svg)")) {
            List<Element> points = chart.select("svg .point");
            List<Element> rows = chart.select("tbody tr");
            assertThat(points.size()).isGreaterThanOrEqualTo(rows.size());
            for (int i = 0; i < rows.size(); i++) {
                double z = Double.parseDouble(points.get(points.size() - 1 - i).attr("data-y"));
                assertThat(rows.get(i).select("td").get(3).text())
                        .isEqualTo(String.format(Locale.ROOT, "%+.1f", z).replace('-', '−'));
            }
            assertThat(chart.select("svg text").eachText()).contains("+3", "0", "−3");
        }
        // Days along the axis; all charts of an instrument share it.
        assertThat(page.select("section:has(figure.chart) svg text").eachText())
                .anySatisfy(tick -> assertThat(tick).matches("\\d{1,2} [A-Z][a-z]{2}"));
    }
}
