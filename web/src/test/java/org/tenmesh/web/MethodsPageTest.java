package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

/** The methods, each with how it calculates, what was put in and how far its sources were checked. */
class MethodsPageTest {
    private static Ashgrove ashgrove;
    private static Browser browser;

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(24);
        browser = ashgrove.as(PersonRole.BENCH);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    @Test
    void listsEveryMethodOnceUnderItsKindWithTheStandingOfItsSources() {
        Document page = browser.page("/methods");
        assertThat(page.select("tbody th a").eachAttr("href"))
                .containsExactlyInAnyOrderElementsOf(Ashgrove.METHODS.ids().stream()
                        .map(id -> "/methods/" + id)
                        .toList());
        Element flow = page.expectFirst("tr:has(a[href=/methods/" + AllKinds.FLOW + "])");
        assertThat(flow.text())
                .contains("salt extract, 5 g", "NO3-N", "2026-11-01", "1 common practice, 1 from memory");
    }

    @Test
    void showsDetectionLimitsBesideReportingLimitsAndMarksTheOneThatIsTooLow() {
        Method flow = Ashgrove.METHODS.versions(AllKinds.FLOW).get(0);
        Analyte nitrate = flow.head().analytes().get(0);
        double reports = nitrate.reportingLimit().orElseThrow();
        assertThat(browser.page("/methods/" + AllKinds.FLOW).select("#detection"))
                .isEmpty();
        List<LowReading> blanks = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
            blanks.add(new LowReading(
                    AllKinds.FLOW,
                    nitrate.symbol(),
                    "flow-1",
                    LocalDate.of(2026, 11, 2 + i / 2),
                    "N1",
                    i,
                    OptionalDouble.empty(),
                    reports * (i % 2)));
        }
        ashgrove.book()
                .keep(
                        "2026-11-24",
                        "earlier",
                        new JudgedDay(List.of(), List.of(), List.of(), List.of(), List.of(), List.of(), blanks));
        Element row = browser.page("/methods/" + AllKinds.FLOW).expectFirst("table:has(#detection) tbody tr");
        assertThat(row.text()).contains("8 on 4 days", "reporting limit below detection limit");
        assertThat(row.select("td").get(7).text()).isEqualTo(Words.limit(nitrate.reportingLimit()));
    }

    @Test
    void setsAdviceApartAndSaysThatItIsOff() {
        Document page = browser.page("/methods");
        Element group = page.expectFirst("section.advice");
        assertThat(group.select("h2").text()).isEqualTo("Regional advice off unless switched on");
        assertThat(group.select("a[href=/methods/" + AllKinds.ADVICE + "]")).hasSize(1);
        assertThat(page.select("section:not(.advice) a[href=/methods/" + AllKinds.ADVICE + "]"))
                .isEmpty();
        Document one = browser.page("/methods/" + AllKinds.ADVICE);
        assertThat(one.select("section.advice").text())
                .contains("County Nowhere (invented)", "nowhere else", "a person signs it", AllKinds.DEFERENCE);
        assertThat(browser.page("/methods/" + AllKinds.DERIVED).select("section.advice"))
                .isEmpty();
    }

    @Test
    void opensEveryMethodWithWhatItReportsItsSourcesAndEveryId() {
        for (String id : Ashgrove.METHODS.ids()) {
            Method method = Ashgrove.METHODS.versions(id).get(0);
            Document page = browser.page("/methods/" + method.id());
            assertThat(page.select("h1").text()).isEqualTo(method.head().title());
            assertThat(page.select("table:has(#reports) tbody tr"))
                    .as(method.id())
                    .hasSize(method.head().analytes().size());
            for (Source source : method.head().sources()) {
                assertThat(page.select("section:has(#sources) li").eachText())
                        .as(method.id())
                        .anyMatch(text -> text.endsWith(source.standing().word()));
            }
            assertThat(page.select("[id]").eachAttr("id")).as(method.id()).doesNotHaveDuplicates();
            assertThat(page.select("table:not(:has(caption)), th:not([scope])"))
                    .as(method.id())
                    .isEmpty();
            assertThat(page.select("#formula")).as(method.id()).hasSize(1);
        }
    }

    @Test
    void showsAFormulaWithItsSymbolsUnitsAndSources() {
        Document page = browser.page("/methods/" + AllKinds.TITRATION);
        assertThat(page.select(".formulas code").text())
                .isEqualTo("OC = percent((blank_titre − titre) × strength / soil)");
        assertThat(page.select("table:has(caption:contains(Symbols)) tbody tr").eachText())
                .anySatisfy(
                        row -> assertThat(row).startsWith("soil air-dry soil").contains(" g"))
                .anySatisfy(row -> assertThat(row).startsWith("blank_titre mean of titre over the run's blanks"))
                .anySatisfy(row -> assertThat(row).contains("0.0009375", "g/mL", "(from memory)"));
    }

    @Test
    void showsSettingsLimitsAndInputs() {
        Document flow = browser.page("/methods/" + AllKinds.FLOW);
        assertThat(flow.select("dl.facts").text()).contains("a quadratic curve", "CO-low, CO-high, CO-low", "1.8");
        assertThat(flow.select("table:has(#reports) tbody td.n").eachText())
                .containsExactly("1", "0.125", "0.25", "0.5", "5");
        // A column that would be empty is left out.
        assertThat(flow.select("table:has(#reports) th[scope=col]").eachText())
                .contains("detection", "quantification", "reporting", "within-laboratory SD, %")
                .doesNotContain("upper");
        Document derived = browser.page("/methods/" + AllKinds.DERIVED);
        assertThat(derived.select("table:has(#inputs) tbody tr").eachText())
                .anySatisfy(row -> assertThat(row).startsWith("k K by").contains("anything up to the limit"))
                .anySatisfy(row -> assertThat(row).startsWith("mg Mg by").contains("no result"));
        assertThat(derived.select("table:has(#inputs) a").eachAttr("href")).containsOnly("/methods/mehlich3-icp");
    }

    @Test
    void calculatesAWorkedExampleAndShowsTheNumbersPutIn() {
        Element example = browser.page("/methods/" + AllKinds.TITRATION).expectFirst(".example");
        assertThat(example.text())
                .contains("Invented for a test (from memory)")
                .contains("blank_titre 20", "soil 0.5", "titre 12")
                .contains("OC = percent((20 − 12) × 0.0009375 / 0.5) = 1.5")
                .contains("expected 1.50, got 1.50 % agrees");
        assertThat(browser.page("/methods/" + AllKinds.FLOW)
                        .expectFirst(".example")
                        .text())
                .contains("NO3-N = (2 − 0) × 25 / 5 = 10", "expected 10.0, got 10.0 mg/kg agrees");
        assertThat(browser.page("/methods/" + AllKinds.DERIVED)
                        .expectFirst(".example")
                        .text())
                .contains("K_Mg = 150 / 60 = 2.5", "expected 2.40, got 2.50", "does not agree");
    }
}
