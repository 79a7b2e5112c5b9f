package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.statistics.Grubbs;
import org.tenmesh.core.statistics.OneWay;
import org.tenmesh.core.statistics.Precision;
import org.tenmesh.core.statistics.Spread;
import org.tenmesh.core.statistics.Suspect;

/**
 * How limits come from history, without anybody's choice.
 *
 * <p>The base of a chart is its first whole days that hold {@link #LEAST_RUNS} runs on {@link #LEAST_DAYS} days. Twenty, because a standard
 * deviation of twenty values is itself good to a sixth, {@code 1/sqrt(2 x 19)}, and textbooks ask for 20 to 25 subgroups (common practice);
 * ten days, because what differs from day to day must be inside the limits. Being the first days, the base never moves when more come: the
 * limits are frozen without being written down. Once, after {@link #FULL_RUNS} runs on {@link #FULL_DAYS} days, a second version takes their
 * place: charts that add up small shifts see the uncertainty of a centre of twenty runs as a shift, and have to be wide until then (Jones,
 * Champ and Rigdon 2001, Technometrics 43:156; from memory). After that only a person sets new limits.
 *
 * <p>Values that failed their limit on their day have a cause and stay out. What is left is tested by Grubbs for the value farthest from the
 * mean, at 1 % for either end, again and again (ISO 5725-2:1994, 7.3.4: 1 % makes an outlier). When more than one value in ten would go, the
 * base is no stable stretch: it grows by another day, and as long as it does not settle there are no limits.
 *
 * <p>Spread: variance within and between runs by one-way analysis of variance ({@link Precision}); where no run holds two values, the
 * ordinary standard deviation. The moving range is no base for a control soil: values of one day follow each other closely, and limits
 * from it would call every new day a change.
 */
public final class BasePeriod {
    /** Runs that a base holds at least. */
    public static final int LEAST_RUNS = 20;
    /** Days that a base holds at least. */
    public static final int LEAST_DAYS = 10;
    /** Runs that the second and last base holds at least. */
    public static final int FULL_RUNS = 60;
    /** Days that the second and last base holds at least. */
    public static final int FULL_DAYS = 30;
    /** Values that a new lot needs for a mean of its own. */
    public static final int LEAST_FOR_A_MEAN = 5;
    /** The name under which limits that this procedure set say who set them. */
    public static final String BY = "base period";

    private static final double OUTLIER = 0.01;
    private static final double MOST_OUT = 0.1;

    private BasePeriod() {}

    /**
     * Limits from the base of one chart; empty as long as there is none.
     *
     * @param values of one chart, in the order of time
     */
    public static Optional<FrozenLimits> limits(ChartKey key, List<ChartValue> values) {
        List<ChartValue> good = values.stream().filter(value -> !value.failed()).toList();
        return first(key, good, FULL_RUNS, FULL_DAYS).or(() -> first(key, good, LEAST_RUNS, LEAST_DAYS));
    }

    private static Optional<FrozenLimits> first(ChartKey key, List<ChartValue> good, int leastRuns, int leastDays) {
        Set<LocalDate> days = new TreeSet<>();
        Set<String> runs = new TreeSet<>();
        for (int i = 0; i < good.size(); i++) {
            days.add(good.get(i).day());
            runs.add(good.get(i).dayAndRun());
            boolean dayEnds = i + 1 == good.size()
                    || !good.get(i + 1).day().equals(good.get(i).day());
            if (dayEnds && days.size() >= leastDays && runs.size() >= leastRuns) {
                Optional<FrozenLimits> limits = settled(key, good.subList(0, i + 1), days.size());
                if (limits.isPresent()) {
                    return limits;
                }
            }
        }
        return Optional.empty();
    }

    /**
     * Limits of a new lot that runs beside the old one or takes its place: its own mean, as soon as it has {@link #LEAST_FOR_A_MEAN} values,
     * with the standard deviations of the old lot, until it has a base of its own. They are provisional: the mean moves with each day.
     *
     * @param values of the new lot, in the order of time
     */
    public static Optional<FrozenLimits> bridged(ChartKey key, List<ChartValue> values, FrozenLimits old) {
        List<ChartValue> good = values.stream().filter(value -> !value.failed()).toList();
        int runs = (int) good.stream().map(ChartValue::dayAndRun).distinct().count();
        if (good.size() < LEAST_FOR_A_MEAN || runs < 2) {
            return Optional.empty();
        }
        return Optional.of(new FrozenLimits(
                key,
                good.get(0).day(),
                Spread.of(good.stream().mapToDouble(ChartValue::value).toArray())
                        .mean(),
                old.betweenSd(),
                old.withinSd(),
                good.size(),
                runs,
                (int) good.stream().map(ChartValue::day).distinct().count(),
                0,
                "bridge from " + old.key().material(),
                "new lot: its own mean, the spread of the lot before it, until it has a base of its own"));
    }

    private static Optional<FrozenLimits> settled(ChartKey key, List<ChartValue> base, int days) {
        List<ChartValue> kept = new ArrayList<>(base);
        int most = (int) (MOST_OUT * base.size());
        while (true) {
            double[] values = kept.stream().mapToDouble(ChartValue::value).toArray();
            double farthest = Grubbs.farthest(values);
            if (Double.isNaN(farthest)) {
                // All values are equal: the readings are too coarse for a chart.
                return Optional.empty();
            }
            if (farthest <= Grubbs.critical(values.length, OUTLIER, Suspect.EITHER_END)) {
                break;
            }
            if (base.size() - kept.size() >= most) {
                return Optional.empty();
            }
            double mean = Spread.of(values).mean();
            int worst = 0;
            for (int i = 1; i < values.length; i++) {
                worst = Math.abs(values[i] - mean) > Math.abs(values[worst] - mean) ? i : worst;
            }
            kept.remove(worst);
        }
        double[][] groups = byRun(kept);
        Components spread = Components.of(groups);
        return Optional.of(new FrozenLimits(
                key,
                base.get(base.size() - 1).day().plusDays(1),
                spread.mean(),
                spread.between(),
                spread.within(),
                kept.size(),
                groups.length,
                days,
                base.size() - kept.size(),
                BY,
                "first " + groups.length + " runs on " + days + " days"));
    }

    static double[][] byRun(List<ChartValue> values) {
        Map<String, List<Double>> byRun = new LinkedHashMap<>();
        values.forEach(value -> byRun.computeIfAbsent(value.dayAndRun(), run -> new ArrayList<>())
                .add(value.value()));
        return byRun.values().stream()
                .map(run -> run.stream().mapToDouble(Double::doubleValue).toArray())
                .toArray(double[][]::new);
    }

    /** Spread between runs and within; {@code degrees} of freedom of what is between. */
    record Components(double mean, double between, double within, int degrees) {
        static Components of(double[][] groups) {
            double[] all = Arrays.stream(groups).flatMapToDouble(Arrays::stream).toArray();
            if (all.length == groups.length) {
                Spread spread = Spread.of(all);
                return new Components(spread.mean(), spread.sd(), 0, all.length - 1);
            }
            Precision precision = Precision.of(groups);
            return new Components(
                    precision.mean(),
                    precision.betweenSd(),
                    precision.repeatabilitySd(),
                    OneWay.of(groups).betweenDegrees());
        }
    }
}
