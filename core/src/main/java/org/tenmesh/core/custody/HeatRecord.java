package org.tenmesh.core.custody;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * Whether a charge met the limits of its treatment, by its record. Time counts only while every sensor is known to be at or above the limit: between
 * two points of a sensor the lower one counts, and where they lie further apart than the treatment allows nothing does.
 *
 * @param passed whether one pair of limits was met
 * @param limits each pair of limits with the time that counts
 * @param hottestColdestC the highest temperature that the coldest sensor reached, uncertainty taken off, °C; empty without a record
 * @param gaps where nothing is known of a sensor for longer than the treatment allows, in the order of time
 * @param reasons why it failed, or what somebody should look at
 */
public record HeatRecord(
        boolean passed, List<Met> limits, OptionalDouble hottestColdestC, List<Gap> gaps, List<String> reasons) {
    /**
     * One pair of limits.
     *
     * @param counted the longest stretch, or all stretches together where the treatment adds them up
     */
    public record Met(Treatment.Limit limit, Duration counted) {
        public boolean enough() {
            return counted.compareTo(limit.time()) >= 0;
        }
    }

    /** A sensor without a reading between two moments: no time between them counts. */
    public record Gap(String sensor, Instant from, Instant until) {}

    public HeatRecord {
        limits = List.copyOf(limits);
        gaps = List.copyOf(gaps);
        reasons = List.copyOf(reasons);
    }

    /**
     * Judges a record.
     *
     * @param closed when the last portion was loaded: nothing before counts
     * @param opened when the device was opened again: nothing after counts
     */
    public static HeatRecord of(Charge charge, Instant closed, Instant opened, Collection<Charge.Point> points) {
        List<String> reasons = new ArrayList<>();
        Map<String, TreeMap<Instant, Double>> bySensor = new TreeMap<>();
        charge.sensors().forEach(sensor -> bySensor.put(sensor, new TreeMap<>()));
        int outside = 0;
        TreeSet<String> strangers = new TreeSet<>();
        for (Charge.Point one : points) {
            TreeMap<Instant, Double> its = bySensor.get(one.sensor());
            if (its == null) {
                strangers.add(one.sensor());
            } else if (one.at().isBefore(closed) || one.at().isAfter(opened)) {
                outside++;
            } else {
                // Two values of one moment: the colder one counts.
                its.merge(one.at(), one.celsius() - charge.uncertaintyK(), Math::min);
            }
        }
        if (outside > 0) {
            reasons.add(outside + " points lie outside the time of the charge and do not count");
        }
        if (!strangers.isEmpty()) {
            reasons.add(
                    "points of sensors that the charge does not name do not count: " + String.join(", ", strangers));
        }
        bySensor.forEach((sensor, its) -> {
            if (its.size() < 2) {
                reasons.add("sensor " + sensor + " has " + its.size() + (its.size() == 1 ? " point" : " points")
                        + " in the time of the charge");
            } else if (its.size() >= 10 && its.values().stream().distinct().count() == 1) {
                reasons.add("sensor " + sensor + " shows one and the same value throughout: look whether it works");
            }
        });
        List<Met> met = charge.treatment().limits().stream()
                .map(limit -> new Met(limit, counted(bySensor.values(), limit.leastC(), charge.treatment())))
                .toList();
        boolean passed = met.stream().anyMatch(Met::enough);
        if (!passed) {
            met.forEach(one -> reasons.add("at least " + one.limit().leastC() + " °C at the coldest sensor for "
                    + words(one.limit().time()) + ": found " + words(one.counted())));
        }
        return new HeatRecord(
                passed,
                met,
                hottest(bySensor.values()),
                gaps(bySensor, closed, opened, charge.treatment().longestGap()),
                reasons);
    }

    private static List<Gap> gaps(
            Map<String, TreeMap<Instant, Double>> bySensor, Instant closed, Instant opened, Duration longest) {
        List<Gap> gaps = new ArrayList<>();
        bySensor.forEach((sensor, its) -> {
            Instant before = closed;
            for (Instant at : its.keySet()) {
                gap(sensor, before, at, longest).ifPresent(gaps::add);
                before = at;
            }
            gap(sensor, before, opened, longest).ifPresent(gaps::add);
        });
        gaps.sort(Comparator.comparing(Gap::from).thenComparing(Gap::sensor));
        return gaps;
    }

    private static Optional<Gap> gap(String sensor, Instant from, Instant until, Duration longest) {
        return Duration.between(from, until).compareTo(longest) > 0
                ? Optional.of(new Gap(sensor, from, until))
                : Optional.empty();
    }

    private static Duration counted(Collection<TreeMap<Instant, Double>> sensors, double leastC, Treatment treatment) {
        TreeSet<Instant> moments = new TreeSet<>();
        sensors.forEach(its -> moments.addAll(its.keySet()));
        Duration longest = Duration.ZERO;
        Duration stretch = Duration.ZERO;
        Duration all = Duration.ZERO;
        Instant before = null;
        for (Instant now : moments) {
            if (before != null) {
                Instant start = before;
                boolean hot = sensors.stream().allMatch(its -> hot(its, start, now, leastC, treatment.longestGap()));
                Duration step = Duration.between(start, now);
                stretch = hot ? stretch.plus(step) : Duration.ZERO;
                all = hot ? all.plus(step) : all;
                longest = stretch.compareTo(longest) > 0 ? stretch : longest;
            }
            before = now;
        }
        return treatment.unbroken() ? longest : all;
    }

    /** Whether a sensor is known to be at the limit from one moment to the next. */
    private static boolean hot(
            TreeMap<Instant, Double> its, Instant start, Instant end, double leastC, Duration longestGap) {
        Map.Entry<Instant, Double> left = its.floorEntry(start);
        Map.Entry<Instant, Double> right = its.ceilingEntry(end);
        return left != null
                && right != null
                && Duration.between(left.getKey(), right.getKey()).compareTo(longestGap) <= 0
                && left.getValue() >= leastC
                && right.getValue() >= leastC;
    }

    private static OptionalDouble hottest(Collection<TreeMap<Instant, Double>> sensors) {
        return sensors.stream()
                .map(its ->
                        its.values().stream().mapToDouble(Double::doubleValue).max())
                .reduce((a, b) -> a.isPresent() && b.isPresent()
                        ? OptionalDouble.of(Math.min(a.getAsDouble(), b.getAsDouble()))
                        : OptionalDouble.empty())
                .orElse(OptionalDouble.empty());
    }

    private static String words(Duration time) {
        return time.toHours() > 0
                ? time.toHours() + " h " + time.toMinutesPart() + " min"
                : time.toMinutes() + " min " + time.toSecondsPart() + " s";
    }
}
