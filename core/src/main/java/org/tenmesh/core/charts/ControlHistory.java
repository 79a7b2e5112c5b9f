package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;

/**
 * What control soils gave on earlier days, and what was decided about it. Sealed where a control was hidden.
 *
 * @param entries in the order of time; given in any
 * @param follows a lot of a control material, and the lot it takes the place of
 * @param frozen limits that were set by hand, every version of them
 * @param bias what reference materials and proficiency rounds say of the laboratory
 */
public record ControlHistory(
        List<ChartValue> entries, Map<String, String> follows, List<FrozenLimits> frozen, List<BiasStudy> bias) {
    /** Enough lots in a row for any material; a chain that is longer goes round in a circle. */
    private static final int MOST_LOTS = 50;

    private static final Comparator<ChartValue> IN_TIME = Comparator.comparing(
                    (ChartValue entry) -> entry.at().toInstant())
            .thenComparing(ChartValue::run)
            .thenComparing(ChartValue::position);

    /** Nothing is known of earlier days. */
    public static final ControlHistory NONE = new ControlHistory(List.of(), Map.of(), List.of(), List.of());

    public ControlHistory {
        entries = entries.stream().sorted(IN_TIME).toList();
        follows = Map.copyOf(follows);
        frozen = List.copyOf(frozen);
        bias = List.copyOf(bias);
    }

    /** The newest laboratory day in it. */
    public Optional<LocalDate> newest() {
        return entries.stream().map(ChartValue::day).max(Comparator.naturalOrder());
    }

    /** Whether there is neither a value nor a decision of an earlier day. */
    public boolean isEmpty() {
        return entries.isEmpty() && frozen.isEmpty() && bias.isEmpty();
    }

    /** The same with more values. */
    public ControlHistory with(List<ChartValue> more) {
        List<ChartValue> all = new ArrayList<>(entries);
        all.addAll(more);
        return new ControlHistory(all, follows, frozen, bias);
    }

    /** Only what is from before a day. */
    public ControlHistory before(LocalDate day) {
        return new ControlHistory(
                entries.stream().filter(entry -> entry.day().isBefore(day)).toList(),
                follows,
                frozen.stream().filter(limits -> limits.since().isBefore(day)).toList(),
                bias);
    }

    /** The values of each chart in the order of time, charts in their order. */
    public Map<ChartKey, List<ChartValue>> byChart() {
        Map<ChartKey, List<ChartValue>> byChart = new TreeMap<>();
        entries.forEach(entry ->
                byChart.computeIfAbsent(entry.key(), key -> new ArrayList<>()).add(entry));
        return byChart;
    }

    /**
     * Every chart with its limits: those frozen by hand, the newest version before or on the day; else those of its own
     * {@link BasePeriod}; else, for a new lot, its own mean with the standard deviation of the lot before it; else what is known of the
     * material. Values of the day itself and later are drawn and set no limits.
     *
     * @param day the day for which the limits are to hold
     * @param known what the laboratory says of a material where the history does not say enough
     */
    public List<ControlChart> charts(LocalDate day, Function<ChartKey, Optional<FrozenLimits>> known) {
        Map<ChartKey, List<ChartValue>> byChart = byChart();
        Map<ChartKey, List<ChartValue>> earlier = before(day).byChart();
        List<ControlChart> charts = new ArrayList<>();
        byChart.forEach((key, values) -> {
            Optional<FrozenLimits> limits = decided(key, day)
                    .or(() -> BasePeriod.limits(key, earlier.getOrDefault(key, List.of())))
                    .or(() -> bridged(key, earlier, day))
                    .or(() -> known.apply(key));
            charts.add(ControlChart.of(key, limits, values));
        });
        return charts;
    }

    /** The newest version of limits frozen by hand, on or before a day. */
    public Optional<FrozenLimits> decided(ChartKey key, LocalDate day) {
        return frozen.stream()
                .filter(limits -> limits.key().equals(key) && !limits.since().isAfter(day))
                .max(Comparator.comparing(FrozenLimits::since));
    }

    private Optional<FrozenLimits> bridged(ChartKey key, Map<ChartKey, List<ChartValue>> earlier, LocalDate day) {
        String lot = key.material();
        for (int i = 0; i < MOST_LOTS; i++) {
            String before = follows.get(lot);
            if (before == null) {
                return Optional.empty();
            }
            ChartKey old = key.of(before);
            Optional<FrozenLimits> limits =
                    decided(old, day).or(() -> BasePeriod.limits(old, earlier.getOrDefault(old, List.of())));
            if (limits.isPresent()) {
                return BasePeriod.bridged(key, earlier.getOrDefault(key, List.of()), limits.get());
            }
            lot = before;
        }
        return Optional.empty();
    }
}
