package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Run;

class ControlTrendsTest {
    private static final LocalDate FIRST = LocalDate.of(2026, 3, 2);
    private static final List<String> ANALYTES = List.of("P", "K", "Mg");

    /** Invented: a run a day, four control soils in it; all analytes share the portion, each has its own noise of 2 besides. */
    private static List<ChartValue> day(SplittableRandom chance, int day, double shiftOfK) {
        LocalDate date = FIRST.plusDays(day);
        List<ChartValue> entries = new ArrayList<>();
        for (int position = 10; position <= 40; position += 10) {
            double portion = 2 * chance.nextGaussian();
            for (String analyte : ANALYTES) {
                double value = 100 + portion + 2 * chance.nextGaussian() + (analyte.equals("K") ? shiftOfK : 0);
                entries.add(new ChartValue(
                        new ChartKey("SOIL-A", "mehlich3-icp", analyte, "plasma 1"),
                        date,
                        date.atTime(9, 0).atOffset(ZoneOffset.UTC),
                        "P-" + day,
                        position,
                        value,
                        false));
            }
        }
        return entries;
    }

    private static ControlHistory history(SplittableRandom chance, int days, int shiftedFrom, double shift) {
        List<ChartValue> entries = new ArrayList<>();
        for (int d = 0; d < days; d++) {
            entries.addAll(day(chance, d, d >= shiftedFrom ? shift : 0));
        }
        return new ControlHistory(entries, Map.of(), List.of(), List.of());
    }

    @Test
    void quietHistoriesSaySoAtThePolicysRate() {
        int trends = 0;
        int days = 0;
        for (long seed = 1; seed <= 40; seed++) {
            SplittableRandom chance = new SplittableRandom(seed);
            ControlHistory history = history(chance, 70, 99, 0);
            for (int d = 70; d < 75; d++) {
                days++;
                trends += ControlTrends.of(history, day(chance, d, 0), List.of(), Policy.defaults())
                                .isEmpty()
                        ? 0
                        : 1;
            }
        }
        // 200 days of four controls at 0.0005 each for shifts and as much for the joint residual: 0.8 expected.
        assertThat(days).isEqualTo(200);
        assertThat(trends).isLessThanOrEqualTo(5);
    }

    @Test
    void aSmallShiftOfOneAnalyteIsNamedDatedAndTouchesNobody() {
        SplittableRandom chance = new SplittableRandom(7);
        ControlHistory history = history(chance, 75, 65, 3.5);
        List<ControlTrend> trends = ControlTrends.of(history, day(chance, 75, 3.5), List.of(), Policy.defaults());
        ControlTrend shift = trends.get(0);
        assertThat(shift.analytes()).containsExactly("K");
        assertThat(shift.severe()).isFalse();
        assertThat(shift.run()).isEqualTo("P-75");
        assertThat(shift.evidence())
                .startsWith("Control soils have moved, run by run: K +")
                .containsPattern("since (5|6|7|8) May 2026, 1[0-9] runs")
                .contains("limit")
                .doesNotContain("SOIL-A");
    }

    @Test
    void portionsThatNoLongerHangTogetherAreSeen() {
        SplittableRandom chance = new SplittableRandom(8);
        ControlHistory history = history(chance, 70, 99, 0);
        List<ChartValue> today = new ArrayList<>();
        for (ChartValue entry : day(chance, 70, 0)) {
            double off = entry.position() == 20 ? entry.key().analyte().equals("K") ? 8 : -7 : 0;
            today.add(new ChartValue(
                    entry.key(), entry.day(), entry.at(), entry.run(), entry.position(), 100 + off, false));
        }
        assertThat(ControlTrends.of(history, today, List.of(), Policy.defaults()))
                .extracting(ControlTrend::evidence)
                .anyMatch(said -> said.startsWith("In 1 of 4 control soils that passed"));
    }

    @Test
    void aShiftAsLargeAsTheStatedUncertaintyHoldsWhatWasRead() {
        Run run = MadeRun.of("P-90", "mehlich3-icp")
                .instrument("plasma 1")
                .startedAt(FIRST.plusDays(90).atTime(9, 0).atOffset(ZoneOffset.UTC))
                .run();
        List<ControlValue> values = new ArrayList<>();
        for (int position = 10; position <= 40; position += 10) {
            values.add(new ControlValue(
                    "P-90", "mehlich3-icp", position, "SOIL-A", false, "SOIL-A", "K", 112, 3, List.of()));
        }
        Result result = new Result(
                new LabNumber("L1"),
                "mehlich3-icp",
                LocalDate.of(2026, 11, 1),
                "K",
                "P-90",
                11,
                "",
                new Amount.Measured(90, Unit.MILLIGRAM_PER_KILOGRAM),
                "90",
                OptionalDouble.of(8),
                Verdict.FIT,
                List.of());
        Day day = MadeDay.empty()
                .materials(List.of(new Material(
                        "SOIL-A", "mehlich3-icp", "K", 100, 4, Unit.MILLIGRAM_PER_KILOGRAM, OptionalInt.of(60))))
                .runs(run)
                .day()
                .with(history(new SplittableRandom(9), 70, 99, 0));
        Judging judged = new Judging(List.of(result), List.of());
        Events.Keyed trended = Events.keyed(day, ControlTrends.on(day, judged, values));
        assertThat(trended.causes()).hasSize(1);
        assertThat(trended.causes().get(0).verdict()).isEqualTo(Verdict.HOLD);
        assertThat(trended.results().get(0).verdict()).isEqualTo(Verdict.HOLD);
        assertThat(trended.results().get(0).causes())
                .containsExactly(trended.causes().get(0).id());
        // Without earlier days the four say it of today by themselves; two say nothing together.
        assertThat(ControlTrends.on(day.with(ControlHistory.NONE), judged, values)
                        .found())
                .singleElement()
                .satisfies(found -> assertThat(found.evidence())
                        .contains("K +3 standard deviations, mean of 4 (limit 1.6; rules 2-2s, 4-1s)"));
        Judging alone = ControlTrends.on(day.with(ControlHistory.NONE), judged, values.subList(0, 2));
        assertThat(alone.found()).isEmpty();
        assertThat(alone.results()).isEqualTo(judged.results());
    }
}
