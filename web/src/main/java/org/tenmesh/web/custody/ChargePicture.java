package org.tenmesh.web.custody;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * The record of a charge against the limits of its treatment: a panel for each sensor over the same time, the coldest first, each value taken as
 * much lower as the sensors are uncertain.
 *
 * @param svg empty text before there are two points
 * @param small the same for a narrow screen
 * @param says what is to be seen, in sentences; empty text without a picture
 * @param coldest the sensor whose highest value is the lowest; empty text before there is a record
 */
record ChargePicture(String svg, String small, String says, String coldest) {
    private static final double WIDTH = 680;
    private static final double SMALL = 372;
    private static final double PANEL = 110;
    private static final int TICKS_UP = 4;
    private static final int TICKS_ACROSS = 7;
    private static final int TICKS_ACROSS_SMALL = 5;

    /** @param until to when the record is looked at: without a reading since its last one a gap is drawn */
    static ChargePicture of(ChargeState state, Instant until, ZoneId zone) {
        Charge charge = state.charge();
        Map<String, List<Along.Spot>> bySensor = new TreeMap<>();
        for (Charge.Point point : state.points()) {
            bySensor.computeIfAbsent(point.sensor(), sensor -> new ArrayList<>())
                    .add(new Along.Spot(point.at().getEpochSecond(), point.celsius() - charge.uncertaintyK()));
        }
        bySensor.replaceAll(
                (sensor, spots) -> apart(spots, charge.treatment().longestGap().toSeconds()));
        List<String> sensors = new ArrayList<>(bySensor.keySet());
        sensors.sort(Comparator.comparingDouble(sensor -> highest(bySensor.getOrDefault(sensor, List.of()))));
        if (state.points().size() < 2) {
            return new ChargePicture("", "", "", "");
        }
        String coldest = sensors.get(0);
        double coldestC = highest(bySensor.getOrDefault(coldest, List.of()));
        List<Along.Limit> limits = charge.treatment().limits().stream()
                .map(limit -> new Along.Limit(limit.leastC(), limit(limit)))
                .toList();
        List<Double> heights = new ArrayList<>();
        bySensor.values().forEach(spots -> spots.forEach(spot -> heights.add(spot.y())));
        charge.treatment().limits().stream().map(Treatment.Limit::leastC).forEach(heights::add);
        Scale up = Scale.over(heights, "", TICKS_UP);
        double from = state.points().stream()
                .mapToLong(point -> point.at().getEpochSecond())
                .min()
                .orElseThrow();
        double last = state.points().stream()
                .mapToLong(point -> point.at().getEpochSecond())
                .max()
                .orElseThrow();
        double to = Math.max(last, until.getEpochSecond());
        String says = "The coldest sensor, " + coldest + ", reached " + celsius(coldestC) + ". Limits: "
                + String.join(" or ", limits.stream().map(Along.Limit::name).toList())
                + ". Each sensor is taken " + Words.plain(charge.uncertaintyK())
                + " K lower than it shows.";
        List<Along.Panel> panels = sensors.stream()
                .map(sensor -> new Along.Panel(
                        name(sensor, sensor.equals(coldest), bySensor.getOrDefault(sensor, List.of())),
                        PANEL,
                        up,
                        Optional.empty(),
                        List.of(),
                        false,
                        until(
                                bySensor.getOrDefault(sensor, List.of()),
                                to,
                                charge.treatment().longestGap().toSeconds()),
                        limits))
                .toList();
        String title = "Temperature of charge " + charge.name() + " by time, in degrees Celsius";
        return new ChargePicture(
                new Along(title, says, WIDTH, across(from, to, zone, TICKS_ACROSS), panels, List.of(), List.of()).svg(),
                new Along(title, says, SMALL, across(from, to, zone, TICKS_ACROSS_SMALL), panels, List.of(), List.of())
                        .svg(),
                says,
                coldest);
    }

    private static Scale across(double from, double to, ZoneId zone, int ticks) {
        Scale times = Scale.times(from, to, zone, ticks);
        return new Scale(
                times.low(),
                times.high(),
                false,
                times.ticks(),
                Words.day(Instant.ofEpochSecond((long) from).atZone(zone).toLocalDate()));
    }

    /** With the end of the record, where nothing came for longer than is allowed. */
    private static List<Along.Spot> until(List<Along.Spot> spots, double endS, double longestS) {
        double last = spots.get(spots.size() - 1).x();
        if (endS - last <= longestS) {
            return spots;
        }
        List<Along.Spot> all = new ArrayList<>(spots);
        all.add(new Along.Spot(endS, Double.NaN, true));
        return all;
    }

    /** In order of time; after a gap in which nothing is known the line begins anew. */
    private static List<Along.Spot> apart(List<Along.Spot> spots, double longestS) {
        List<Along.Spot> ordered = new ArrayList<>(spots);
        ordered.sort(Comparator.comparingDouble(Along.Spot::x));
        for (int i = 1; i < ordered.size(); i++) {
            Along.Spot one = ordered.get(i);
            if (one.x() - ordered.get(i - 1).x() > longestS) {
                ordered.set(i, new Along.Spot(one.x(), one.y(), true));
            }
        }
        return ordered;
    }

    private static double highest(List<Along.Spot> spots) {
        return spots.stream().mapToDouble(Along.Spot::y).max().orElse(Double.NaN);
    }

    private static String name(String sensor, boolean coldest, List<Along.Spot> spots) {
        return "°C, sensor " + sensor + (coldest ? ", the coldest" : "") + ": at most " + celsius(highest(spots));
    }

    static String celsius(double celsius) {
        return Words.plain(Math.round(celsius * 10) / 10.0) + " °C";
    }

    static String limit(Treatment.Limit limit) {
        return "at least " + Words.plain(limit.leastC()) + " °C for " + Words.lasted(limit.time());
    }
}
