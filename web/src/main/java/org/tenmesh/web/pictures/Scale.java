package org.tenmesh.web.pictures;

import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.tenmesh.print.svg.Axis;
import org.tenmesh.print.svg.Svg;

/**
 * An axis: from which number to which, and where it is marked.
 *
 * @param logarithmic whether equal lengths are equal factors
 * @param ticks at round numbers, rising
 * @param label what it counts, with its unit; may be empty
 */
public record Scale(double low, double high, boolean logarithmic, List<Tick> ticks, String label) {
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter DATE = DateTimeFormatter.ofPattern("d MMM", Locale.ENGLISH);
    private static final int[] MINUTES = {5, 10, 15, 30, 60, 120, 180, 360, 720, 1440};
    private static final double[] LEADS = {1, 2, 5};
    private static final int FIGURES = 4;
    /** From this ratio of the largest number to the smallest on, equal lengths are equal factors. */
    private static final double WIDE = 50;

    /** One mark of an axis. */
    public record Tick(double at, String text) {}

    public Scale {
        ticks = List.copyOf(ticks);
        if (!(high > low) || logarithmic && !(low > 0)) {
            throw new IllegalArgumentException(
                    "an axis from " + low + " to " + high + (logarithmic ? ", logarithmic" : "")
                            + " cannot be drawn; a higher end above a lower one" + (logarithmic ? " above 0" : "")
                            + " was expected");
        }
    }

    /** An axis that holds all numbers, ended at round ones. */
    public static Scale over(List<Double> numbers, String label, int ticks) {
        double low = numbers.stream()
                .mapToDouble(n -> n)
                .filter(Double::isFinite)
                .min()
                .orElse(0);
        double high = numbers.stream()
                .mapToDouble(n -> n)
                .filter(Double::isFinite)
                .max()
                .orElse(1);
        Axis axis = Axis.round(low, high > low ? high : low + Math.max(1e-9, Math.abs(low) / 10), 0, 1, ticks);
        return of(axis.low(), axis.high(), axis, label, ticks);
    }

    /** An axis from one number to another, marked at round ones between. */
    public static Scale from(double low, double high, String label, int ticks) {
        return of(low, high, new Axis(low, high, 0, 1), label, ticks);
    }

    private static Scale of(double low, double high, Axis axis, String label, int ticks) {
        return new Scale(
                low,
                high,
                false,
                axis.ticks(ticks).stream()
                        .map(at -> new Tick(at, Svg.figure(Math.abs(at) < 1e-12 ? 0 : at, FIGURES)))
                        .toList(),
                label);
    }

    /** An axis of equal factors, marked at 1, 2 and 5 of every power of ten, or at powers alone where these are many. */
    public static Scale factors(double low, double high, String label) {
        double from = Math.pow(10, Math.floor(Math.log10(low)));
        boolean wide = Math.log10(high / low) > 3;
        double[] leads = wide ? new double[] {1} : LEADS;
        List<Double> round = new ArrayList<>();
        for (double power = from; power <= high * 10; power *= 10) {
            for (double lead : leads) {
                round.add(lead * power);
            }
        }
        double start = round.stream()
                .mapToDouble(n -> n)
                .filter(n -> n <= low * 1.0001)
                .max()
                .orElse(low);
        double end = round.stream()
                .mapToDouble(n -> n)
                .filter(n -> n >= high * 0.9999)
                .min()
                .orElse(high);
        return new Scale(
                start,
                end > start ? end : start * 10,
                true,
                round.stream()
                        .filter(at -> at >= start * 0.9999 && at <= end * 1.0001)
                        .map(at -> new Tick(at, Svg.figure(at, 2)))
                        .toList(),
                label);
    }

    /** Equal factors where the numbers are all above zero and far apart, equal differences otherwise. */
    public static Scale fitting(List<Double> numbers, String label, int ticks) {
        double low = numbers.stream()
                .mapToDouble(n -> n)
                .filter(Double::isFinite)
                .min()
                .orElse(0);
        double high = numbers.stream()
                .mapToDouble(n -> n)
                .filter(Double::isFinite)
                .max()
                .orElse(1);
        return low > 0 && high / low >= WIDE ? factors(low, high, label) : over(numbers, label, ticks);
    }

    /** An axis of the time of day, in seconds since 1970, marked at round minutes of the zone, or at days where these are many. */
    public static Scale times(double fromSeconds, double toSeconds, ZoneId zone, int ticks) {
        double span = Math.max(60, toSeconds - fromSeconds);
        int minutes = MINUTES[MINUTES.length - 1];
        for (int i = MINUTES.length - 1; i >= 0 && MINUTES[i] * 60.0 * ticks >= span; i--) {
            minutes = MINUTES[i];
        }
        boolean days = span > 36 * 3600;
        long every = days ? Math.max(1, Math.round(Math.ceil(span / 86400 / ticks))) : minutes;
        ZonedDateTime at =
                java.time.Instant.ofEpochSecond((long) fromSeconds).atZone(zone).truncatedTo(ChronoUnit.DAYS);
        List<Tick> marks = new ArrayList<>();
        while (at.toEpochSecond() <= fromSeconds + span) {
            if (at.toEpochSecond() >= fromSeconds) {
                marks.add(new Tick(at.toEpochSecond(), (days ? DATE : TIME).format(at)));
            }
            at = days ? at.plusDays(every) : at.plusMinutes(every);
        }
        return new Scale(fromSeconds, fromSeconds + span, false, marks, "");
    }

    /** How far along the axis a number lies: 0 at its lower end, 1 at its higher one; what lies beyond is at the end. */
    public double share(double value) {
        double share = logarithmic
                ? Math.log(Math.max(value, low / 10) / low) / Math.log(high / low)
                : (value - low) / (high - low);
        return Math.max(0, Math.min(1, share));
    }

    /** Whether a number lies on the axis. */
    public boolean holds(double value) {
        return value >= low && value <= high;
    }
}
