package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

/** The picture of a cause draws what the judge gave with it, and nothing that a viewer may not know. */
class CausePicturesPageTest {
    private static final InventedDay DAY = InventedDay.of(60, Ashgrove.METHODS);

    private static Measure check(int position, double percent) {
        return new Measure(
                Measure.Kind.CHECK_SOLUTION,
                "K",
                "CCV",
                position,
                percent,
                OptionalDouble.of(90),
                OptionalDouble.of(110),
                "%");
    }

    private static InventedDay with(
            CauseKind kind, List<Measure> measures, List<ResultKey> touched, List<GroupDifference> differences) {
        Cause cause = new Cause(
                new CauseKey(kind, "mehlich-1", "00000000aa"),
                List.of(new Stretch(
                        "mehlich-1", "mehlich3-icp", Verdict.REDO, List.of("K"), 6, 11, touched, "E.", measures)),
                "Read again.",
                OptionalDouble.empty(),
                Optional.empty(),
                InventedDay.EVIDENCE);
        JudgedDay judged = DAY.judged();
        return new InventedDay(
                DAY.day(),
                new JudgedDay(judged.results(), List.of(cause), judged.gates(), judged.controlValues(), differences));
    }

    private static List<ResultKey> touched() {
        return DAY.judged().results().stream()
                .filter(r -> r.run().equals("mehlich-1") && r.position() >= 6 && r.position() <= 11)
                .map(ResultKey::of)
                .toList();
    }

    private static Document page(InventedDay day, PersonRole role) {
        try (Ashgrove ashgrove = Ashgrove.open(day)) {
            Cause cause = day.judged().causes().get(0);
            Document list = ashgrove.as(role).page("/causes");
            Document alone = ashgrove.as(role).page("/causes/" + Words.part(cause.id()));
            // The list and the page of the cause draw the same numbers.
            assertThat(numbers(list, "data-y")).isEqualTo(numbers(alone, "data-y"));
            return alone;
        }
    }

    private static List<Double> numbers(Document page, String of) {
        return page.select("article.cause .picture:not(.small) svg .point").stream()
                .map(point -> Double.valueOf(point.attr(of)))
                .toList();
    }

    @Test
    void drawsEachCheckSolutionAsJudgedWithItsLimits() {
        List<Measure> checks = List.of(check(11, 124.25), check(5, 100.5), check(8, 111.75));
        Document page = page(with(CauseKind.DRIFT, checks, touched(), List.of()), PersonRole.IN_CHARGE);
        assertThat(numbers(page, "data-x")).containsExactly(5.0, 8.0, 11.0);
        assertThat(numbers(page, "data-y")).containsExactly(100.5, 111.75, 124.25);
        Element svg = page.expectFirst("article.cause .picture:not(.small) svg");
        assertThat(svg.attr("role")).isEqualTo("group");
        assertThat(svg.expectFirst("title").text()).isEqualTo("Drift along the run, run mehlich-1");
        assertThat(svg.expectFirst("desc").text()).isEqualTo("3 points; furthest off 124.3 %, allowed 90 to 110 %.");
        assertThat(svg.select(".point")).allSatisfy(point -> {
            assertThat(point.attr("tabindex")).isEqualTo("0");
            assertThat(point.expectFirst("title").text())
                    .contains("check solution CCV, position", "allowed 90 to 110 %");
        });
        assertThat(page.expectFirst(".found .figure").text()).isEqualTo("124.3 %");
        assertThat(page.expectFirst(".found .allowed").text()).isEqualTo("allowed 90 to 110 %");
        assertThat(page.select("tbody tr")).hasSize(3);
    }

    @Test
    void drawsBlanksAgainstTheirLimit() {
        List<Measure> blanks = IntStream.of(4, 9)
                .mapToObj(position -> new Measure(
                        Measure.Kind.BLANK,
                        "K",
                        "",
                        position,
                        position * 0.01,
                        OptionalDouble.of(-0.1),
                        OptionalDouble.of(0.05),
                        "mg/L"))
                .toList();
        Document page = page(with(CauseKind.BLANK_HIGH, blanks, touched(), List.of()), PersonRole.IN_CHARGE);
        assertThat(numbers(page, "data-y")).containsExactly(0.04, 0.09);
    }

    @Test
    void aHiddenControlIsDrawnWithItsPlaceForThoseAloneWhoMayKnowIt() {
        List<Measure> controls = List.of(new Measure(
                Measure.Kind.CONTROL_SOIL, "K", "", 0, 5.5, OptionalDouble.of(-4), OptionalDouble.of(4), "SD"));
        InventedDay day = with(CauseKind.CONTROL_FAILED, controls, touched(), List.of());
        Document inCharge = page(day, PersonRole.IN_CHARGE);
        assertThat(numbers(inCharge, "data-x")).containsExactly(5.5);
        String drawn = inCharge.select("article.cause .picture:not(.small) svg").outerHtml();
        DAY.day().controls().keySet().forEach(lab -> assertThat(drawn).doesNotContain(lab.text()));
        assertThat(drawn).doesNotContain("position", "hidden");
        Document quality = page(day, PersonRole.QUALITY);
        List<Double> z = day.judged().controlValues().stream()
                .filter(value ->
                        value.run().equals("mehlich-1") && value.analyte().equals("K"))
                .map(value -> value.z())
                .toList();
        assertThat(z).isNotEmpty();
        assertThat(numbers(quality, "data-y")).containsExactlyElementsOf(z);
    }

    @Test
    void aLadderEndsAtTheFirstDilutionThatBringsAnExtractIntoTheRange() {
        LabNumber lab = touched().get(0).labNumber();
        List<Measure> over = List.of(Measure.upTo(Measure.Kind.RANGE, "K", lab.text(), 6, 1700, 500, "mg/kg"));
        Document page = page(with(CauseKind.OVER_RANGE, over, touched(), List.of()), PersonRole.IN_CHARGE);
        // 340 % of the range, divided by 2, 2.5 and 4.
        assertThat(numbers(page, "data-x")).containsExactly(170.0, 136.0, 85.0, 340.0);
        assertThat(page.select("article.cause .picture:not(.small) svg text").eachText())
                .contains("4 ×")
                .doesNotContain("2 ×", "5 ×");
    }

    @Test
    void aProbeStandsBesideTheOthersWithItsInterval() {
        List<GroupDifference> differences = new ArrayList<>();
        for (int probe = 1; probe <= 3; probe++) {
            double size = probe == 2 ? 0.25 : -0.125;
            differences.add(new GroupDifference(
                    "channel",
                    "robot " + probe,
                    "mehlich3-icp",
                    "K",
                    size,
                    size - 0.05,
                    size + 0.05,
                    "",
                    100,
                    -9,
                    probe == 2));
        }
        Measure found = new Measure(
                Measure.Kind.CHANNEL, "K", "probe 2", 0, 0.25, OptionalDouble.of(-0.1), OptionalDouble.of(0.1), "");
        Document page =
                page(with(CauseKind.CHANNEL_BIAS, List.of(found), touched(), differences), PersonRole.IN_CHARGE);
        assertThat(numbers(page, "data-x")).containsExactly(-0.125, 0.25, -0.125);
        assertThat(page.select("article.cause .picture:not(.small) svg .point title")
                        .eachText())
                .anySatisfy(title -> assertThat(title).contains("robot 2", "+0.25", "95 % between +0.2 and +0.3"));
        // Without the others there is nothing to compare with.
        assertThat(page(with(CauseKind.CHANNEL_BIAS, List.of(found), touched(), List.of()), PersonRole.IN_CHARGE)
                        .select("article.cause .picture:not(.small) svg"))
                .isEmpty();
    }

    @Test
    void aTurnedTrayIsShownAsReadAndPutRight() {
        Tray tray = DAY.day().trays().get(0);
        List<LabNumber> wells = tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .toList();
        List<ResultKey> its = DAY.judged().results().stream()
                .filter(r -> r.run().equals("mehlich-1") && wells.contains(r.labNumber()))
                .map(ResultKey::of)
                .toList();
        Measure odds = Measure.upTo(Measure.Kind.ODDS, "", "", 0, 5.5, 0, "");
        Document page = page(with(CauseKind.TRAY_TURNED, List.of(odds), its, List.of()), PersonRole.IN_CHARGE);
        List<Double> drawn = numbers(page, "data-y");
        assertThat(drawn).hasSize(24);
        double[] k = new double[12];
        java.util.Arrays.fill(k, Double.NaN);
        tray.wells()
                .forEach(place -> place.labNumber()
                        .ifPresent(lab -> DAY.judged().results().stream()
                                .filter(r -> r.run().equals("mehlich-1")
                                        && r.labNumber().equals(lab)
                                        && r.analyte().equals("K"))
                                .map(Result::amount)
                                .forEach(amount -> k[place.well().index()] = amount.raw())));
        for (int i = 0; i < 12; i++) {
            int there = i;
            boolean lies = tray.wells().stream()
                    .anyMatch(place ->
                            place.well().index() == there && place.labNumber().isPresent());
            assertThat(drawn.get(i)).as("as read " + i).isEqualTo(Double.valueOf(k[i]));
            assertThat(drawn.get(12 + i)).as("put right " + i).isEqualTo(Double.valueOf(lies ? k[11 - i] : Double.NaN));
        }
    }

    @Test
    void aCauseWithoutNumbersHasNoPicture() {
        Document page = page(with(CauseKind.MISSING_READING, List.of(), touched(), List.of()), PersonRole.IN_CHARGE);
        assertThat(page.select("article.cause svg, .found")).isEmpty();
    }
}
