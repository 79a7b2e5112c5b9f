package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.statistics.Spread;

/**
 * One chart: a point for each run, the mean of the values that the run read of the material.
 *
 * @param limits empty when nothing is known of the material yet
 * @param points in the order of time
 */
public record ControlChart(ChartKey key, Optional<FrozenLimits> limits, List<Point> points) {
    public ControlChart {
        points = List.copyOf(points);
    }

    /**
     * One run.
     *
     * @param position of the first value in the run
     * @param n values behind it: those that did not fail, or all of them when all did
     * @param mean of these, in the analyte's unit
     * @param sd standard deviation of these; NaN for one value
     * @param z of the mean, by the limits; NaN without limits
     * @param failed whether every value failed its limit on its day: drawn, and left out of runs and sums
     * @param withinRun rules that the values of this run break among themselves
     */
    public record Point(
            LocalDate day,
            OffsetDateTime at,
            String run,
            int position,
            int n,
            double mean,
            double sd,
            double z,
            boolean failed,
            List<String> withinRun) {
        public Point {
            withinRun = List.copyOf(withinRun);
        }
    }

    static ControlChart of(ChartKey key, Optional<FrozenLimits> limits, List<ChartValue> values) {
        Map<String, List<ChartValue>> byRun = new LinkedHashMap<>();
        values.forEach(value -> byRun.computeIfAbsent(value.dayAndRun(), run -> new ArrayList<>())
                .add(value));
        List<Point> points = new ArrayList<>();
        for (List<ChartValue> run : byRun.values()) {
            List<ChartValue> good =
                    run.stream().filter(value -> !value.failed()).toList();
            boolean failed = good.isEmpty();
            double[] used = (failed ? run : good)
                    .stream().mapToDouble(ChartValue::value).toArray();
            Spread spread = Spread.of(used);
            ChartValue first = run.get(0);
            points.add(new Point(
                    first.day(),
                    first.at(),
                    first.run(),
                    first.position(),
                    used.length,
                    spread.mean(),
                    spread.sd(),
                    limits.map(l -> l.z(spread.mean(), used.length)).orElse(Double.NaN),
                    failed,
                    limits.map(l -> withinRun(l, used)).orElse(List.of())));
        }
        return new ControlChart(key, limits, points);
    }

    private static List<String> withinRun(FrozenLimits limits, double[] values) {
        boolean high = false;
        boolean low = false;
        for (double value : values) {
            double z = (value - limits.centre()) / limits.sd();
            high |= z > 2;
            low |= z < -2;
        }
        return high && low ? List.of(RuleSet.RANGE_WITHIN_RUN) : List.of();
    }

    /** Points that teach: those that did not fail as a whole. */
    public List<Point> accepted() {
        return points.stream().filter(point -> !point.failed()).toList();
    }

    private double[] z() {
        return accepted().stream().mapToDouble(Point::z).toArray();
    }

    /** The rules of a set that each of {@link #points()} breaks, with those within its run; nothing without limits. */
    public List<List<String>> broken(RuleSet rules) {
        return broken(rules, point -> true);
    }

    /** The rules of a set that points of a day or later break, in the order in which they were first broken; points before it are read where a rule asks. */
    public Set<String> brokenSince(LocalDate first, RuleSet rules) {
        Set<String> names = new LinkedHashSet<>();
        broken(rules, point -> !point.day().isBefore(first)).forEach(names::addAll);
        return names;
    }

    private List<List<String>> broken(RuleSet rules, Predicate<Point> asked) {
        double[] z = z();
        List<List<String>> all = new ArrayList<>();
        int at = 0;
        for (Point point : points) {
            if (asked.test(point)) {
                Set<String> names =
                        new LinkedHashSet<>(point.failed() ? List.of("failed on its day") : rules.broken(z, at));
                names.addAll(point.withinRun());
                all.add(List.copyOf(names));
            }
            at += point.failed() ? 0 : 1;
        }
        return all;
    }

    /**
     * A small shift that the newest point shows, if it shows one.
     *
     * @param rule with its limits
     */
    public Optional<Shift> shift(SmallShiftRule rule) {
        List<Point> accepted = accepted();
        if (limits.isEmpty() || accepted.isEmpty()) {
            return Optional.empty();
        }
        double[] z = z();
        int last = z.length - 1;
        double[] average = SmallShift.ewma(z, rule.lambda());
        double limit = rule.limit(z.length, limits.get().runs());
        if (!(Math.abs(average[last]) > limit)) {
            return Optional.empty();
        }
        // The sum on the side of the shift rests at zero as long as nothing happens: where it last left zero, it
        // began.
        double side = Math.signum(average[last]);
        double[] turned = new double[z.length];
        for (int i = 0; i <= last; i++) {
            turned[i] = side * z[i];
        }
        double[] sums = SmallShift.cusum(turned, rule.reference(), 0);
        int since = last;
        while (since > 0 && sums[since - 1] > 0) {
            since--;
        }
        double sum = 0;
        for (int i = since; i <= last; i++) {
            sum += accepted.get(i).mean() - limits.get().centre();
        }
        return Optional.of(new Shift(
                accepted.get(since),
                accepted.get(last),
                last - since + 1,
                average[last],
                limit,
                sums[last],
                sum / (last - since + 1) / limits.get().sd()));
    }

    /**
     * A small shift.
     *
     * @param since first point after which the cumulative sum did not come back to zero
     * @param last the newest point
     * @param points from the one to the other
     * @param average weighted moving average at the newest point, standard deviations of a point
     * @param limit of that average
     * @param sum cumulative sum on the side of the shift
     * @param sds mean distance from the centre since then, in standard deviations of a single value
     */
    public record Shift(Point since, Point last, int points, double average, double limit, double sum, double sds) {}
}
