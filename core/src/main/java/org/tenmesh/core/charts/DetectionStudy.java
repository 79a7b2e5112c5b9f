package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.tenmesh.core.calibration.DetectionLimits;

/**
 * The detection limit of one analyte of one method, from what blanks and low check solutions gave over some days: the larger of the two limits
 * of 40 CFR 136, appendix B, revision 2 (2017). Its definition and table of Student's t were read, its steps are from memory: at least seven
 * readings of a kind on at least three days, none older than 24 months; of check solutions {@code t(0.99, n - 1) s}, of blanks
 * {@code mean + t(0.99, n - 1) s}, a mean below zero counted as zero.
 *
 * <p>Where the method takes the mean blank of its run off every soil, a blank is compared with the blanks of its run, as a soil is: s is the
 * standard deviation within runs, its degrees of freedom the blanks less the runs, the mean nothing, and a blank that is the mean of m readings
 * adds its own scatter, {@code t s sqrt(1 + 1/m)} with the mean of 1/m over the runs (Currie's paired observation, see
 * {@link DetectionLimits#ofBlanks}); a run with one blank says nothing there.
 *
 * <p>Check solutions are mixed and read, not extracted: theirs is the limit of the reading alone. Those of the lowest content count.
 *
 * @param blanks what the blanks say
 * @param checks what low check solutions say
 * @param checkContent of those, in the unit of the analyte; empty when there are none
 * @param instruments how many read them
 */
public record DetectionStudy(
        String method, String analyte, Part blanks, Part checks, OptionalDouble checkContent, int instruments) {
    /** Fewest readings, and days they come from. */
    public static final int FEWEST = 7;

    public static final int FEWEST_DAYS = 3;

    private static final int MOST_MONTHS = 24;
    private static final double ERROR = 0.01;

    /**
     * Readings of one kind.
     *
     * @param n readings that count
     * @param days on which they were read
     * @param mean of them; not a number when there are none
     * @param sd standard deviation, within runs where blanks are taken off; not a number when it cannot be told
     * @param degrees of freedom of it
     * @param limit smallest content told from nothing with 99 %; empty when the readings are too few
     */
    public record Part(int n, int days, double mean, double sd, int degrees, OptionalDouble limit) {
        private static final Part NONE = new Part(0, 0, Double.NaN, Double.NaN, 0, OptionalDouble.empty());
    }

    /** The larger of the limits; empty when neither could be made. */
    public OptionalDouble limit() {
        if (blanks.limit().isPresent() && checks.limit().isPresent()) {
            return OptionalDouble.of(
                    Math.max(blanks.limit().getAsDouble(), checks.limit().getAsDouble()));
        }
        return blanks.limit().isPresent() ? blanks.limit() : checks.limit();
    }

    /** Whether results are reported below what can be told from nothing. */
    public boolean isAbove(OptionalDouble reportingLimit) {
        return reportingLimit.isPresent()
                && limit().isPresent()
                && limit().getAsDouble() > reportingLimit.getAsDouble();
    }

    /**
     * One study for each analyte that was read, in the order of their symbols.
     *
     * @param method all readings are of
     * @param blankTakenOff whether it takes the mean blank of a run off every soil of the run
     */
    public static List<DetectionStudy> of(String method, boolean blankTakenOff, Collection<LowReading> readings) {
        Optional<LocalDate> newest = readings.stream().map(LowReading::day).max(Comparator.naturalOrder());
        if (newest.isEmpty()) {
            return List.of();
        }
        LocalDate since = newest.get().minusMonths(MOST_MONTHS);
        // A day that was given twice counts once.
        return readings.stream()
                .distinct()
                .filter(one -> one.method().equals(method) && !one.day().isBefore(since))
                .collect(Collectors.groupingBy(LowReading::analyte, TreeMap::new, Collectors.toList()))
                .entrySet()
                .stream()
                .map(entry -> of(method, entry.getKey(), blankTakenOff, entry.getValue()))
                .toList();
    }

    private static DetectionStudy of(String method, String analyte, boolean blankTakenOff, List<LowReading> readings) {
        List<LowReading> blanks = readings.stream().filter(LowReading::isBlank).toList();
        OptionalDouble lowest = readings.stream()
                .filter(one -> !one.isBlank())
                .mapToDouble(one -> one.known().getAsDouble())
                .min();
        List<LowReading> checks = readings.stream()
                .filter(one -> !one.isBlank() && one.known().getAsDouble() == lowest.getAsDouble())
                .toList();
        return new DetectionStudy(
                method, analyte, blankTakenOff ? within(blanks) : of(blanks, true), of(checks, false), lowest, (int)
                        readings.stream().map(LowReading::instrument).distinct().count());
    }

    private static Part of(List<LowReading> readings, boolean meanCounts) {
        int n = readings.size();
        if (n == 0) {
            return Part.NONE;
        }
        double mean = mean(readings);
        double sd = Math.sqrt(squares(readings, mean) / (n - 1));
        int days = days(readings);
        return new Part(n, days, mean, sd, n - 1, limit(n, days, sd, n - 1, 0, meanCounts ? Math.max(0, mean) : 0));
    }

    private static Part within(List<LowReading> all) {
        Map<String, List<LowReading>> byRun = new HashMap<>();
        all.forEach(one -> byRun.computeIfAbsent(one.day() + " " + one.run(), run -> new ArrayList<>())
                .add(one));
        byRun.values().removeIf(one -> one.size() < 2);
        List<LowReading> readings =
                byRun.values().stream().flatMap(List::stream).toList();
        int n = readings.size();
        if (n == 0) {
            return all.isEmpty() ? Part.NONE : new Part(0, days(all), mean(all), Double.NaN, 0, OptionalDouble.empty());
        }
        double squares = 0;
        double perBlanks = 0;
        for (List<LowReading> run : byRun.values()) {
            squares += squares(run, mean(run));
            perBlanks += 1.0 / run.size();
        }
        int degrees = n - byRun.size();
        double sd = Math.sqrt(squares / degrees);
        int days = days(readings);
        return new Part(n, days, mean(readings), sd, degrees, limit(n, days, sd, degrees, perBlanks / byRun.size(), 0));
    }

    private static OptionalDouble limit(int n, int days, double sd, int degrees, double perBlanks, double mean) {
        return n < FEWEST || days < FEWEST_DAYS
                ? OptionalDouble.empty()
                : OptionalDouble.of(mean
                        + DetectionLimits.ofBlanks(sd, degrees, perBlanks, ERROR)
                                .critical());
    }

    private static double mean(List<LowReading> readings) {
        return readings.stream().mapToDouble(LowReading::value).average().orElse(Double.NaN);
    }

    private static double squares(List<LowReading> readings, double mean) {
        return readings.stream()
                .mapToDouble(one -> (one.value() - mean) * (one.value() - mean))
                .sum();
    }

    private static int days(List<LowReading> readings) {
        return (int) readings.stream().map(LowReading::day).distinct().count();
    }
}
