package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.web.cards.GatePicture;
import org.tenmesh.web.cards.GateRow;

/** The picture of an instrument's checks draws every one, and rings exactly what is outside its limit. */
class GatePictureTest {
    private static Desk desk;
    private static Map<String, String> pictures;

    @BeforeAll
    static void draw() {
        LocalDate date = LocalDate.of(2026, 11, 30);
        MethodBook methods = MethodFiles.shipped();
        Day day = Simulator.simulate(Scenario.of(3, 240, date).with(Fault.of(CauseKind.DRIFT)))
                .day();
        JudgedDay judged = DayJudge.judge(day, methods);
        desk = new Desk(
                "a day", 1, day, judged, methods, List.of(), List.of(), date, List.of(), List.of(), new DerivedSoils());
        pictures = GatePicture.of(desk, desk.instruments().keySet());
    }

    private static List<Measure> checks(List<Run> runs) {
        return runs.stream()
                .flatMap(run -> desk.read(run).stream())
                .flatMap(read -> read.measures().stream())
                .filter(one -> one.low().isPresent() && one.high().isPresent())
                .toList();
    }

    private static List<Element> points(String picture) {
        return Jsoup.parse(picture).select(".point");
    }

    @Test
    void drawsOnePointForEveryTimeACheckWasRead() {
        assertThat(pictures).isNotEmpty();
        desk.instruments().forEach((instrument, runs) -> {
            long read = runs.stream()
                    .mapToLong(run -> checks(List.of(run)).stream()
                            .map(one -> one.kind() + " " + one.position() + " " + one.identity())
                            .distinct()
                            .count())
                    .sum();
            assertThat(points(pictures.getOrDefault(instrument, "")))
                    .as(instrument)
                    .hasSize((int) read);
        });
    }

    @Test
    void ringsACheckWhereAnyAnalyteOfItIsOutsideAndNoOther() {
        Set<String> outside = desk.instruments().entrySet().stream()
                .filter(one -> checks(one.getValue()).stream().anyMatch(Measure::isOutside))
                .map(Map.Entry::getKey)
                .collect(Collectors.toSet());
        assertThat(outside).isNotEmpty();
        assertThat(outside).isNotEqualTo(pictures.keySet());
        pictures.forEach((instrument, picture) -> {
            boolean told = points(picture).stream()
                    .map(point -> point.select("title").text())
                    .anyMatch(title -> title.endsWith(", outside"));
            assertThat(told).as(instrument).isEqualTo(outside.contains(instrument));
            for (Element point : points(picture)) {
                assertThat(Math.abs(Double.parseDouble(point.attr("data-y"))) > 100)
                        .as(point.select("title").text())
                        .isEqualTo(point.select("title").text().endsWith(", outside"));
            }
        });
    }

    @Test
    void anInstrumentIsShutWhereTheLastCheckOfSomethingFailedAndTheBenchIsToldWhichAndWhen() {
        List<GateRow> rows = GateRow.of(desk);
        List<String> failedLast = new ArrayList<>();
        for (GateRow row : rows) {
            Run run = desk.run(row.run()).orElseThrow();
            Map<List<Object>, Measure> last = new HashMap<>();
            checks(List.of(run))
                    .forEach(one -> last.merge(
                            List.of(one.kind(), one.analyte(), channel(run, one.position())),
                            one,
                            (a, b) -> a.position() > b.position() ? a : b));
            if (last.values().stream().anyMatch(Measure::isOutside)) {
                failedLast.add(row.instrument());
                assertThat(row.open()).as(row.says()).isFalse();
            }
        }
        assertThat(failedLast).isNotEmpty();
        rows.stream()
                .filter(row -> failedLast.contains(row.instrument()))
                .forEach(
                        row -> assertThat(row.shutSays().orElseThrow())
                                .matches(
                                        ".*check solution \\S+ at position \\d+, allowed .*, \\d\\d:\\d\\d; shut until one passes\\."));
        assertThat(rows).filteredOn(GateRow::open).isNotEmpty();
    }

    private static String channel(Run run, int position) {
        return desk.positions(run).positions().stream()
                .filter(one -> one.position() == position)
                .findFirst()
                .orElseThrow()
                .channel();
    }

    @Test
    void reducesEachRunOnceForAllWhoAskForIt() {
        Run run = desk.day().runs().get(0);
        Desk later = desk.with(2, List.of(), List.of(), desk.today(), List.of(), List.of(), Holds.NONE);
        assertThat(later.read(run).orElseThrow()).isSameAs(desk.read(run).orElseThrow());
    }

    @Test
    void neverDrawsAHiddenControl() {
        List<String> hidden = desk.judged().controlValues().stream()
                .filter(value -> value.hidden())
                .map(value -> value.identity())
                .distinct()
                .toList();
        assertThat(hidden).isNotEmpty();
        assertThat(String.join("", pictures.values())).doesNotContain(hidden);
    }
}
