package org.tenmesh.web.custody;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.words.Words;

/**
 * One charge: what was laid down, what lies in it, its record against the limits, who signed.
 *
 * @param reasons why it failed or, before it is closed, why it would
 * @param path the record as points of a picture of 600 by 160, one line for each sensor; empty without a record
 * @param limitAt height of the lowest limit in the picture
 */
public record ChargeView(
        ChargeState state,
        String opened,
        List<LimitLine> limits,
        List<String> reasons,
        String coldest,
        List<String> path,
        String limitAt,
        String axis,
        List<String> signatures) {
    /** A pair of limits and what of it was met. */
    public record LimitLine(String limit, String counted, boolean enough) {}

    private static final int WIDTH = 600;
    private static final int HEIGHT = 160;

    static ChargeView of(ChargeState state, ZoneId zone) {
        HeatRecord judged = sofar(state);
        List<String> reasons = state.closed()
                .map(ChargeState.Closed::reasons)
                .orElse(state.points().isEmpty() ? List.of() : judged.reasons());
        Picture picture = Picture.of(state, zone);
        return new ChargeView(
                state,
                Words.moment(state.charge().openedAt(), zone) + ", "
                        + state.charge().openedBy(),
                judged.limits().stream().map(ChargeView::line).toList(),
                reasons,
                judged.hottestColdestC().isPresent()
                        ? Words.plain(judged.hottestColdestC().getAsDouble()) + " °C"
                        : "no record",
                picture.path(),
                picture.limitAt(),
                picture.axis(),
                state.signatures().stream()
                        .map(one -> one.by() + ", " + Words.moment(one.at(), zone))
                        .toList());
    }

    /** How the record stands before the charge is closed, with everything confirmed and the device opened at its last point. */
    private static HeatRecord sofar(ChargeState state) {
        Instant last = state.points().stream()
                .map(Charge.Point::at)
                .max(Instant::compareTo)
                .orElse(state.charge().openedAt());
        return ChargeBook.judged(
                state, last, Set.copyOf(state.charge().treatment().confirm()));
    }

    private static LimitLine line(HeatRecord.Met met) {
        return new LimitLine(limit(met.limit()), time(met.counted()), met.enough());
    }

    static String limit(Treatment.Limit limit) {
        return "at least " + Words.plain(limit.leastC()) + " °C for " + time(limit.time());
    }

    private static String time(Duration time) {
        return time.toHours() > 0
                ? time.toHours() + " h " + time.toMinutesPart() + " min"
                : time.toMinutes() + " min " + (time.toSecondsPart() > 0 ? time.toSecondsPart() + " s" : "");
    }

    private record Picture(List<String> path, String limitAt, String axis) {
        static Picture of(ChargeState state, ZoneId zone) {
            if (state.points().size() < 2) {
                return new Picture(List.of(), "", "");
            }
            List<Charge.Point> points = state.points().stream()
                    .sorted((a, b) -> a.at().compareTo(b.at()))
                    .toList();
            double first = points.get(0).at().toEpochMilli();
            double last = points.get(points.size() - 1).at().toEpochMilli();
            double limit = state.charge().treatment().limits().stream()
                    .mapToDouble(Treatment.Limit::leastC)
                    .min()
                    .orElse(0);
            double top = Math.max(
                            limit,
                            points.stream()
                                    .mapToDouble(Charge.Point::celsius)
                                    .max()
                                    .orElse(0))
                    * 1.05;
            List<String> lines = new TreeSet<>(
                            points.stream().map(Charge.Point::sensor).toList())
                    .stream()
                            .map(sensor -> points.stream()
                                    .filter(one -> one.sensor().equals(sensor))
                                    .map(one -> Words.plain(Math.round((one.at().toEpochMilli() - first)
                                                    / Math.max(1, last - first)
                                                    * WIDTH))
                                            + "," + y(one.celsius(), top))
                                    .reduce((a, b) -> a + " " + b)
                                    .orElse(""))
                            .toList();
            return new Picture(
                    lines,
                    y(limit, top),
                    Words.moment(points.get(0).at(), zone) + " to "
                            + Words.moment(points.get(points.size() - 1).at(), zone) + ", 0 to "
                            + Words.plain(Math.round(top)) + " °C; the line across is " + Words.plain(limit) + " °C");
        }

        private static String y(double celsius, double top) {
            return Words.plain(Math.round(HEIGHT - Math.max(0, celsius) / top * HEIGHT));
        }
    }
}
