package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class ControlHistoryTest {
    private static final LocalDate FIRST = LocalDate.of(2026, 3, 2);
    private static final ChartKey KEY = new ChartKey("SOIL-A", "mehlich3-icp", "K", "plasma 1");

    private static ChartValue entry(ChartKey key, int day, int run, int position, double value) {
        LocalDate date = FIRST.plusDays(day);
        return new ChartValue(
                key,
                date,
                date.atTime(LocalTime.of(8 + run, 0)).atOffset(ZoneOffset.UTC),
                "R" + run,
                position,
                value,
                false);
    }

    /** Invented: two runs a day, {@code n} values each, mean 100, between runs 2, within 3. */
    private static List<ChartValue> invented(ChartKey key, SplittableRandom chance, int from, int days, int n) {
        List<ChartValue> entries = new ArrayList<>();
        for (int day = from; day < from + days; day++) {
            for (int run = 1; run <= 2; run++) {
                double level = 100 + 2 * chance.nextGaussian();
                for (int i = 1; i <= n; i++) {
                    entries.add(entry(key, day, run, 10 * i, level + 3 * chance.nextGaussian()));
                }
            }
        }
        return entries;
    }

    private static ControlHistory of(List<ChartValue> entries) {
        return new ControlHistory(entries, Map.of(), List.of(), List.of());
    }

    private static ControlChart only(ControlHistory history) {
        List<ControlChart> charts = history.charts(FIRST.plusYears(1), key -> Optional.empty());
        assertThat(charts).hasSize(1);
        return charts.get(0);
    }

    @Test
    void limitsAreFrozenByTheFirstTwentyRunsOnTenDays() {
        SplittableRandom chance = new SplittableRandom(1);
        List<ChartValue> entries = invented(KEY, chance, 0, 9, 3);
        assertThat(only(of(entries)).limits()).isEmpty();
        entries.addAll(invented(KEY, chance, 9, 1, 3));
        FrozenLimits limits = only(of(entries)).limits().orElseThrow();
        assertThat(limits.runs()).isEqualTo(20);
        assertThat(limits.days()).isEqualTo(10);
        assertThat(limits.since()).isEqualTo(FIRST.plusDays(10));
        assertThat(limits.by()).isEqualTo("base period");
        for (int day = 10; day < 30; day++) {
            entries.add(entry(KEY, day, 1, 10, 160));
        }
        assertThat(only(of(entries)).limits()).contains(limits);
    }

    @Test
    void anOutlierOfTheBaseIsLeftOutAndAFailedValueTeachesNothing() {
        List<ChartValue> clean = invented(KEY, new SplittableRandom(2), 0, 10, 3);
        List<ChartValue> spoilt = new ArrayList<>(clean);
        spoilt.add(entry(KEY, 4, 1, 99, 190));
        FrozenLimits limits = only(of(spoilt)).limits().orElseThrow();
        assertThat(limits.leftOut()).isEqualTo(1);
        assertThat(limits.centre())
                .isCloseTo(only(of(clean)).limits().orElseThrow().centre(), within(1e-9));
        List<ChartValue> failed = new ArrayList<>(clean);
        ChartValue far = entry(KEY, 4, 1, 99, 190);
        failed.add(new ChartValue(KEY, far.day(), far.at(), far.run(), 99, 190, true));
        assertThat(only(of(failed)).limits().orElseThrow().leftOut()).isZero();
    }

    @Test
    void limitsThatAPersonSetStandFromTheirDateOn() {
        List<ChartValue> entries = invented(KEY, new SplittableRandom(3), 0, 12, 2);
        FrozenLimits first =
                new FrozenLimits(KEY, FIRST.plusDays(11), 101, 2, 3, 40, 20, 10, 0, "Q. Doyle", "new torch");
        FrozenLimits later =
                new FrozenLimits(KEY, FIRST.plusDays(20), 102, 2, 3, 40, 20, 10, 0, "Q. Doyle", "new extractant");
        ControlHistory history = new ControlHistory(entries, Map.of(), List.of(later, first), List.of());
        assertThat(history.charts(FIRST.plusDays(10), key -> Optional.empty())
                        .get(0)
                        .limits()
                        .orElseThrow()
                        .by())
                .isEqualTo("base period");
        assertThat(history.charts(FIRST.plusDays(15), key -> Optional.empty())
                        .get(0)
                        .limits())
                .contains(first);
        assertThat(history.charts(FIRST.plusDays(20), key -> Optional.empty())
                        .get(0)
                        .limits())
                .contains(later);
    }

    @Test
    void aNewLotStartsFromItsOwnMeanWithTheSpreadOfTheOld() {
        List<ChartValue> entries = invented(KEY, new SplittableRandom(4), 0, 10, 3);
        ChartKey lot = new ChartKey("SOIL-A-2", KEY.method(), KEY.analyte(), KEY.instrument());
        for (int day = 8; day < 11; day++) {
            entries.add(entry(lot, day, 1, 40, 120 + day % 3));
            entries.add(entry(lot, day, 2, 40, 121));
        }
        ControlHistory history = new ControlHistory(entries, Map.of("SOIL-A-2", "SOIL-A"), List.of(), List.of());
        List<ControlChart> charts = history.charts(FIRST.plusDays(12), key -> Optional.empty());
        FrozenLimits old = charts.get(0).limits().orElseThrow();
        FrozenLimits bridged = charts.get(1).limits().orElseThrow();
        assertThat(bridged.centre()).isCloseTo(121, within(1e-9));
        assertThat(bridged.sd()).isEqualTo(old.sd());
        assertThat(bridged.by()).isEqualTo("bridge from SOIL-A");
        // A circle of lots is a mistake in the laboratory's list; it leaves the chart without limits and ends.
        ControlHistory circle = new ControlHistory(
                entries.subList(entries.size() - 6, entries.size()),
                Map.of("SOIL-A-2", "SOIL-A", "SOIL-A", "SOIL-A-2"),
                List.of(),
                List.of());
        assertThat(circle.charts(FIRST.plusDays(12), key -> Optional.empty())
                        .get(0)
                        .limits())
                .isEmpty();
    }

    @Test
    void findsAShiftOfOneStandardDeviationAndSaysSinceWhen() {
        SplittableRandom chance = new SplittableRandom(5);
        List<ChartValue> entries = invented(KEY, chance, 0, 30, 3);
        SmallShiftRule rule = SmallShiftRule.of(0.0005 * 3 / 12);
        assertThat(only(of(entries)).shift(rule)).isEmpty();
        for (ChartValue entry : invented(KEY, chance, 30, 12, 3)) {
            entries.add(entry(
                    KEY,
                    (int) FIRST.until(entry.day(), java.time.temporal.ChronoUnit.DAYS),
                    entry.run().equals("R1") ? 1 : 2,
                    entry.position(),
                    entry.value() + 4));
        }
        ControlChart.Shift shift = only(of(entries)).shift(rule).orElseThrow();
        assertThat(shift.since().day()).isBetween(FIRST.plusDays(28), FIRST.plusDays(33));
        assertThat(shift.sds()).isBetween(0.6, 1.8);
    }

    /** With no fault and limits that rest on twenty runs themselves, a point signals no oftener than the rule was told. */
    @Test
    void limitsFromHistoryKeepTheRateOfFalseAlarms() {
        double told = 0.005;
        SmallShiftRule rule = SmallShiftRule.of(told);
        long seed = 6;
        SplittableRandom chance = new SplittableRandom(seed);
        int points = 0;
        int signals = 0;
        for (int history = 0; history < 400; history++) {
            double[] base = chance.doubles(20).toArray();
            double[] z = new double[60];
            for (int i = 0; i < base.length; i++) {
                base[i] = chance.nextGaussian();
            }
            double mean = java.util.Arrays.stream(base).average().orElseThrow();
            double sd = Math.sqrt(java.util.Arrays.stream(base)
                            .map(v -> (v - mean) * (v - mean))
                            .sum()
                    / 19);
            for (int i = 0; i < z.length; i++) {
                z[i] = (chance.nextGaussian() - mean) / sd;
            }
            double[] average = SmallShift.ewma(z, rule.lambda());
            for (int i = 0; i < z.length; i++) {
                points++;
                signals += Math.abs(average[i]) > rule.limit(i + 1, 20) ? 1 : 0;
            }
        }
        // The average stays outside for some points once it is there, so signalling points are more than alarms.
        assertThat((double) signals / points).as("seed %d", seed).isLessThan(4 * told);
        assertThat(RunLength.ewma(rule.lambda(), rule.width(), 0)).isCloseTo(1 / told, within(0.01 / told));
    }

    @Test
    void rulesThatArePublishedKeepTheirNames() {
        List<ChartValue> entries = new ArrayList<>();
        FrozenLimits limits = new FrozenLimits(KEY, FIRST, 100, 3, 0, 40, 40, 20, 0, "Q. Doyle", "set");
        double[] values = {100, 107, 107, 94, 93.5, 110};
        for (int day = 0; day < values.length; day++) {
            entries.add(entry(KEY, day, 1, 10, values[day]));
        }
        entries.add(entry(KEY, 6, 1, 10, 107));
        entries.add(entry(KEY, 6, 1, 20, 93));
        ControlChart chart = new ControlHistory(entries, Map.of(), List.of(limits), List.of())
                .charts(FIRST.plusDays(9), key -> Optional.empty())
                .get(0);
        List<List<String>> broken = chart.broken(RuleSet.multirule());
        assertThat(broken.get(1)).isEmpty();
        assertThat(broken.get(2)).containsExactly("2-2s");
        assertThat(broken.get(5)).containsExactly("1-3s");
        assertThat(broken.get(6)).containsExactly("R-4s");
        for (int day = 0; day <= 6; day++) {
            LocalDate since = chart.points().get(day).day();
            assertThat(chart.brokenSince(since, RuleSet.multirule()))
                    .containsExactlyElementsOf(broken.subList(day, 7).stream()
                            .flatMap(List::stream)
                            .distinct()
                            .toList());
        }
        assertThat(chart.brokenSince(chart.points().get(6).day().plusDays(1), RuleSet.multirule()))
                .isEmpty();
    }
}
