package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;

final class HeatRecordTest {
    private static final Instant START = Instant.parse("2026-11-25T08:00:00Z");

    private static Charge charge(boolean unbroken, double uncertaintyK, Treatment.Limit... limits) {
        return new Charge(
                "C1",
                "oven 2",
                "P-1",
                1,
                new Treatment(
                        "heat", List.of(limits), unbroken, Duration.ofMinutes(5), Set.of(), List.of(), "condition 7"),
                List.of("middle", "door"),
                uncertaintyK,
                "A. Bench",
                START);
    }

    private static Charge twoHours() {
        return charge(true, 0, new Treatment.Limit(121, Duration.ofHours(2)));
    }

    /** Both sensors every so many minutes; the door is colder. */
    private static List<Charge.Point> record(int minutes, int every, DoubleUnaryOperator door) {
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = 0; minute <= minutes; minute += every) {
            Instant at = START.plus(Duration.ofMinutes(minute));
            points.add(new Charge.Point(at, "middle", 130 + minute % 3));
            points.add(new Charge.Point(at, "door", door.applyAsDouble(minute)));
        }
        return points;
    }

    private static Instant minute(int minute) {
        return START.plus(Duration.ofMinutes(minute));
    }

    @Test
    void saysWhereNothingIsKnownAtBothEnds() {
        List<Charge.Point> points = record(150, 2, minute -> 125);
        assertThat(judge(twoHours(), 150, points).gaps()).isEmpty();
        points.removeIf(one -> one.at().isBefore(minute(6)) || one.at().isAfter(minute(144)));
        assertThat(judge(twoHours(), 150, points).gaps())
                .containsExactly(
                        new HeatRecord.Gap("door", START, minute(6)),
                        new HeatRecord.Gap("middle", START, minute(6)),
                        new HeatRecord.Gap("door", minute(144), minute(150)),
                        new HeatRecord.Gap("middle", minute(144), minute(150)));
        // A gap as long as the treatment allows is none.
        assertThat(judge(twoHours(), 149, points).gaps()).hasSize(2);
        points.removeIf(one -> one.sensor().equals("door"));
        assertThat(judge(twoHours(), 150, points).gaps()).contains(new HeatRecord.Gap("door", START, minute(150)));
    }

    private static HeatRecord judge(Charge charge, int minutes, List<Charge.Point> points) {
        return HeatRecord.of(charge, START, START.plus(Duration.ofMinutes(minutes)), points);
    }

    @Test
    void countsFromWhenTheColdestSensorIsThere() {
        // The door is at the limit from minute 30 on: 120 minutes are over at minute 150.
        DoubleUnaryOperator door = minute -> minute < 30 ? 90 : 121;
        assertThat(judge(twoHours(), 150, record(150, 2, door)).passed()).isTrue();
        HeatRecord shorter = judge(twoHours(), 148, record(148, 2, door));
        assertThat(shorter.passed()).isFalse();
        assertThat(shorter.limits().get(0).counted()).isEqualTo(Duration.ofMinutes(118));
        assertThat(shorter.reasons())
                .containsExactly("at least 121.0 °C at the coldest sensor for 2 h 0 min: found 1 h 58 min");
        assertThat(judge(twoHours(), 300, record(300, 2, minute -> 120.9)).passed())
                .isFalse();
    }

    @Test
    void takesTheUncertaintyOffEveryValue() {
        Charge charge = charge(true, 1.5, new Treatment.Limit(121, Duration.ofHours(2)));
        assertThat(judge(charge, 120, record(120, 2, minute -> 122)).passed()).isFalse();
        assertThat(judge(charge, 120, record(120, 2, minute -> 122.5)).passed()).isTrue();
    }

    @Test
    void knowsNothingOfGapsAndOfSilentSensors() {
        List<Charge.Point> points = record(150, 2, minute -> 125);
        points.removeIf(one -> one.sensor().equals("door")
                && one.at().isAfter(START.plus(Duration.ofMinutes(60)))
                && one.at().isBefore(START.plus(Duration.ofMinutes(66))));
        // Six minutes without a point: 60 and 84 minutes on either side of it.
        HeatRecord gap = judge(twoHours(), 150, points);
        assertThat(gap.passed()).isFalse();
        assertThat(gap.limits().get(0).counted()).isEqualTo(Duration.ofMinutes(84));
        assertThat(gap.gaps()).containsExactly(new HeatRecord.Gap("door", minute(60), minute(66)));
        Charge summed = charge(false, 0, new Treatment.Limit(121, Duration.ofHours(2)));
        assertThat(judge(summed, 150, points).limits().get(0).counted()).isEqualTo(Duration.ofMinutes(144));
        points.removeIf(one -> one.sensor().equals("door"));
        assertThat(judge(twoHours(), 150, points).reasons()).anyMatch(one -> one.contains("sensor door has 0 points"));
        assertThat(judge(twoHours(), 150, List.of()).passed()).isFalse();
    }

    @Test
    void startsAnewAfterADipWhereTheTimeMustBeUnbroken() {
        DoubleUnaryOperator dip = minute -> minute == 100 ? 119 : 125;
        HeatRecord unbroken = judge(twoHours(), 200, record(200, 2, dip));
        assertThat(unbroken.limits().get(0).counted()).isEqualTo(Duration.ofMinutes(98));
        assertThat(unbroken.passed()).isFalse();
        Charge summed = charge(false, 0, new Treatment.Limit(121, Duration.ofHours(2)));
        assertThat(judge(summed, 200, record(200, 2, dip)).passed()).isTrue();
    }

    @Test
    void oneOfSeveralLimitsIsEnough() {
        Charge charge = charge(
                true,
                0,
                new Treatment.Limit(121, Duration.ofHours(2)),
                new Treatment.Limit(129, Duration.ofMinutes(30)));
        HeatRecord hot = judge(charge, 40, record(40, 2, minute -> 129.5));
        assertThat(hot.passed()).isTrue();
        assertThat(hot.limits()).extracting(HeatRecord.Met::enough).containsExactly(false, true);
    }

    @Test
    void pointsFromBeforeTheLoadOrAfterTheDoorWasOpenedDoNotCount() {
        List<Charge.Point> points = record(200, 2, minute -> 125);
        HeatRecord late = HeatRecord.of(
                twoHours(), START.plus(Duration.ofMinutes(60)), START.plus(Duration.ofMinutes(170)), points);
        assertThat(late.passed()).isFalse();
        assertThat(late.limits().get(0).counted()).isEqualTo(Duration.ofMinutes(110));
        assertThat(late.reasons()).first().asString().contains("points lie outside the time of the charge");
    }

    /** However a record is thinned out, delayed or disturbed, it never counts more time than the true curve was above the limit. */
    @Test
    void neverCountsMoreThanTheTruth() {
        Random random = new Random(8_302);
        for (int i = 0; i < 3_000; i++) {
            int up = random.nextInt(60);
            int down = up + random.nextInt(200);
            DoubleUnaryOperator truth = minute -> minute >= up && minute <= down ? 125 : 100;
            List<Charge.Point> points = record(300, 1, truth);
            points.removeIf(one -> random.nextInt(4) == 0);
            java.util.Collections.shuffle(points, random);
            Charge charge = charge(random.nextBoolean(), 0, new Treatment.Limit(121, Duration.ofHours(2)));
            HeatRecord judged = judge(charge, 300, points);
            Duration counted = judged.limits().get(0).counted();
            assertThat(counted).as("case %d", i).isLessThanOrEqualTo(Duration.ofMinutes(down - up));
            assertThat(judged.passed()).isEqualTo(counted.compareTo(Duration.ofHours(2)) >= 0);
        }
    }
}
