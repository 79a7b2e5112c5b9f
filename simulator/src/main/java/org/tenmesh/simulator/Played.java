package org.tenmesh.simulator;

import java.time.Duration;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * What an instrument sends at one moment of a run that is played.
 *
 * @param after time from the start of the run
 * @param readings what it read then; their times are those of the played run
 */
public record Played(Duration after, Readings readings) {

    /**
     * A run as its instrument would send it, by the time of each reading, starting at another time and faster than it was.
     *
     * @param start when its first reading is made now
     * @param speed how many times faster; above 0
     * @param longestPause what a longer pause of the run is taken for before the speed is applied, as a night in the furnace
     */
    public static List<Played> of(Run run, OffsetDateTime start, double speed, Duration longestPause) {
        if (!(speed > 0) || Double.isInfinite(speed)) {
            throw new IllegalArgumentException("found speed " + speed + ", expected a number above 0");
        }
        Readings readings = run.readings();
        List<Integer> inTime = IntStream.range(0, readings.size())
                .boxed()
                .sorted(Comparator.comparingLong(readings::atMillis))
                .toList();
        List<Played> played = new ArrayList<>();
        double millis = 0;
        int from = 0;
        while (from < inTime.size()) {
            long now = readings.atMillis(inTime.get(from));
            if (from > 0) {
                long pause = now - readings.atMillis(inTime.get(from - 1));
                millis += Math.min(pause, longestPause.toMillis()) / speed;
            }
            int to = from + 1;
            while (to < inTime.size() && readings.atMillis(inTime.get(to)) == now) {
                to++;
            }
            Duration after = Duration.ofMillis(Math.round(millis));
            played.add(new Played(after, at(readings, inTime.subList(from, to), start.plus(after))));
            from = to;
        }
        return played;
    }

    /** The same without what is said of these identities; there may be nothing left. */
    public Played without(Set<String> identities) {
        if (identities.isEmpty()) {
            return this;
        }
        Readings.Builder some = Readings.builder();
        for (int i = 0; i < readings.size(); i++) {
            if (!identities.contains(readings.identity(i))) {
                add(some, readings, i, readings.at(i));
            }
        }
        return new Played(after, some.build());
    }

    /** The run as it was played: every reading at the time at which it was sent. */
    public static Run whole(Run run, List<Played> played) {
        Readings.Builder all = Readings.builder();
        for (Played one : played) {
            for (int i = 0; i < one.readings.size(); i++) {
                add(all, one.readings, i, one.readings.at(i));
            }
        }
        Readings readings = all.build();
        return new Run(run.run(), run.method(), run.instrument(), run.operator(), readings.at(0), readings);
    }

    /** What of a run comes before its first soil. */
    public static Run beforeTheFirstSoil(Run run) {
        Readings all = run.readings();
        Readings.Builder some = Readings.builder();
        for (int i = 0; i < all.size() && all.role(i) != Role.SAMPLE; i++) {
            add(some, all, i, all.at(i));
        }
        return new Run(run.run(), run.method(), run.instrument(), run.operator(), run.startedAt(), some.build());
    }

    private static Readings at(Readings readings, List<Integer> rows, OffsetDateTime at) {
        Readings.Builder some = Readings.builder();
        rows.forEach(i -> add(some, readings, i, at));
        return some.build();
    }

    private static void add(Readings.Builder to, Readings from, int i, OffsetDateTime at) {
        to.add(
                from.position(i),
                from.role(i),
                from.identity(i),
                from.channel(i),
                from.quantity(i),
                from.value(i),
                from.unit(i),
                at,
                from.dilution(i));
    }
}
