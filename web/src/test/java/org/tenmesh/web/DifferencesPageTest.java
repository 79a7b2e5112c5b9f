package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Rights;

final class DifferencesPageTest {
    private static InventedDay compared() {
        InventedDay invented = InventedDay.of(60, Ashgrove.METHODS);
        List<GroupDifference> differences = new ArrayList<>();
        differences.add(new GroupDifference(
                "channel", "PH1 1", "ph-water-1-1", "pH", -0.004, -0.016, 0.008, "[pH]", 240, -0.3, false));
        differences.add(new GroupDifference(
                "channel", "PH1 2", "ph-water-1-1", "pH", 0.05, 0.039, 0.061, "[pH]", 241, -14, true));
        for (int well = 1; well <= 20; well++) {
            differences.add(new GroupDifference(
                    "well", "W" + well, "mehlich3-icp", "P", 0.1 * well, -3, 3, "mg/kg", 80, -0.01 * well, false));
        }
        differences.add(new GroupDifference(
                "operator", "bench 1", "mehlich3-icp", "Al", -36, -750, 5_300_000, "mg/kg", 12, -0.5, false));
        JudgedDay judged = invented.judged();
        return new InventedDay(
                invented.day(),
                new JudgedDay(judged.results(), judged.causes(), judged.gates(), judged.controlValues(), differences));
    }

    @Test
    void putsWhatStandsOutFirstWithItsSizeAndIntervalInWords() {
        try (Ashgrove ashgrove = Ashgrove.open(compared())) {
            Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/differences?method=ph-water-1-1");
            assertThat(page.select("h3").text())
                    .contains("Probes, balances and detectors 1 of 2 comparisons stands out");
            assertThat(page.select("tbody tr").get(0).select("th, td").eachText())
                    .containsSequence("PH1 2", "pH in water", "+0.05", "+0.039 to +0.061")
                    .endsWith("241", "stands out");
            assertThat(page.select("tbody tr").get(1).select("th, td").eachText())
                    .containsSequence("PH1 1", "pH in water", "−0.004", "−0.016 to +0.008")
                    .doesNotContain("stands out");
            // One picture, one scale: both probes as they were judged.
            assertThat(page.select("figure.chart svg[role=group]")).hasSize(1);
            assertThat(page.select("figure.chart svg .point").eachAttr("data-x"))
                    .containsExactly("-0.004", "0.05");
            assertThat(page.select("figure.chart svg .point title").eachText())
                    .anySatisfy(title ->
                            assertThat(title).contains("PH1 2: +0.05", "95 % between +0.039 and +0.061", "stands out"));
            assertThat(page.select(".choices a").eachText()).hasSize(2);
        }
    }

    @Test
    void foldsAwayWhatIsOrdinary() {
        try (Ashgrove ashgrove = Ashgrove.open(compared())) {
            Document page = ashgrove.as(PersonRole.AUDITOR).page("/differences?method=mehlich3-icp");
            assertThat(page.select("section:has(#differences-well) > .scroll tbody tr"))
                    .hasSize(12);
            assertThat(page.select("details tbody tr")).hasSize(8);
            assertThat(page.expectFirst("details summary").text()).isEqualTo("8 more");
            assertThat(page.select("h3").text()).contains("none of 20 comparisons stands out");
        }
    }

    @Test
    void isForThoseWhoSeeVerdictsAndSaysWhenNothingCouldBeCompared() {
        try (Ashgrove ashgrove = Ashgrove.open(60)) {
            for (PersonRole role : PersonRole.values()) {
                assertThat(ashgrove.as(role).get("/differences").statusCode())
                        .as(role.phrase())
                        .isEqualTo(Rights.FLOOR.contains(role) ? 200 : 404);
            }
            assertThat(ashgrove.as(PersonRole.QUALITY).page("/differences").text())
                    .contains("Too few soils were read by more than one method");
        }
    }

    @Test
    void saysWhatCannotBeToldAndDrawsNothingForIt() {
        try (Ashgrove ashgrove = Ashgrove.open(compared())) {
            Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/differences?method=mehlich3-icp");
            assertThat(page.expectFirst("section:has(#differences-operator)").text())
                    .contains("cannot be told")
                    .doesNotContain("5 300 000", "5\u202f300\u202f000");
            assertThat(page.select("section:has(#differences-operator) svg")).isEmpty();
        }
    }
}
