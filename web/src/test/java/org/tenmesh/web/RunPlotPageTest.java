package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.store.people.PersonRole;

/** The picture of a run draws what was judged, of any analyte, over positions or time. */
class RunPlotPageTest {
    private static Ashgrove ashgrove;

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    private static Map<Double, Double> drawn(Document page) {
        return page.select("div.strip svg a.point").stream()
                .collect(Collectors.toMap(
                        point -> Double.valueOf(point.attr("data-x")),
                        point -> Double.valueOf(point.attr("data-y")),
                        (one, two) -> one,
                        TreeMap::new));
    }

    private static Map<Double, Double> judged(String analyte) {
        return ashgrove.invented().judged().results().stream()
                .filter(result ->
                        result.run().equals("mehlich-1") && result.analyte().equals(analyte))
                .collect(Collectors.toMap(
                        result -> (double) result.position(),
                        result -> result.amount().raw(),
                        (one, two) -> one,
                        TreeMap::new));
    }

    @Test
    void drawsEverySoilAsJudgedOfTheAnalyteThatACauseIsAbout() {
        Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/runs/mehlich-1");
        assertThat(page.expectFirst("#plot a[aria-current=page]").text()).isEqualTo("K");
        assertThat(judged("K")).isNotEmpty();
        assertThat(drawn(page)).isEqualTo(judged("K"));
        assertThat(page.select("div.strip svg").attr("role")).isEqualTo("group");
        assertThat(page.select("div.strip svg a.point title").eachText())
                .allSatisfy(title -> assertThat(title).contains("position ", ":"))
                .anySatisfy(title -> assertThat(title).contains("redo"));
    }

    @Test
    void drawsAnyOtherAnalyteByALink() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        Element link = browser.page("/runs/mehlich-1").select("#plot a").stream()
                .filter(one -> one.text().equals("P"))
                .findFirst()
                .orElseThrow();
        Document page = browser.page(link.attr("href"));
        assertThat(drawn(page)).isEqualTo(judged("P"));
        assertThat(page.select("div.strip svg a.point title").eachText())
                .noneSatisfy(title -> assertThat(title).contains("redo"));
    }

    @Test
    void drawsTheSameOverTime() {
        Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/runs/mehlich-1?of=K&by=time");
        List<Double> times = drawn(page).keySet().stream().sorted().toList();
        assertThat(times).hasSize(judged("K").size());
        // A position is read every 20 s.
        assertThat(times.get(1) - times.get(0)).isCloseTo(20, within(1e-9));
        assertThat(page.select("div.strip svg text").eachText())
                .anySatisfy(tick -> assertThat(tick).matches("\\d\\d:\\d\\d"));
    }

    @Test
    void saysWhatItCannotDraw() {
        Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/runs/mehlich-1?of=K");
        assertThat(page.text()).contains("No check solution of known potassium was read.");
    }

    @Test
    void marksAHiddenControlForThoseAloneWhoMayKnowIt() {
        List<String> hidden = ashgrove.invented().judged().controlValues().stream()
                .filter(value -> value.hidden() && value.run().equals("mehlich-1"))
                .map(value -> value.identity())
                .distinct()
                .toList();
        assertThat(hidden).isNotEmpty();
        Document inCharge = ashgrove.as(PersonRole.IN_CHARGE).page("/runs/mehlich-1?of=K");
        assertThat(inCharge.select("div.strip svg").outerHtml()).doesNotContain("hidden", " SD");
        Document quality = ashgrove.as(PersonRole.QUALITY).page("/runs/mehlich-1?of=K");
        for (String lab : hidden) {
            assertThat(quality.select("div.strip svg .point title").eachText())
                    .anySatisfy(title -> assertThat(title).contains("hidden control " + new LabNumber(lab)));
        }
    }
}
