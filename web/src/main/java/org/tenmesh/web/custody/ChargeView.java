package org.tenmesh.web.custody;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.words.Words;

/**
 * One charge: what was laid down, what lies in it, its record against the limits, who signed.
 *
 * @param reasons why it failed or, before it is closed, why it would
 * @param recorder what records the device by itself, in a sentence; empty text where the charge is closed
 * @param latest the newest reading of each sensor, the coldest first; none where the charge is closed or nothing records it
 * @param gaps where nothing is known of a sensor, so that no time counts
 * @param sources where the record came from, each with how many pieces of it
 * @param coldest what the coldest sensor reached, in a sentence
 * @param picture of the record; empty text without one
 */
public record ChargeView(
        ChargeState state,
        String opened,
        List<LimitLine> limits,
        List<String> reasons,
        String recorder,
        List<LatestLine> latest,
        List<String> gaps,
        List<String> sources,
        String coldest,
        String picture,
        List<String> signatures) {
    /** A pair of limits and what of it was met. */
    public record LimitLine(String limit, String counted, boolean enough) {}

    /** The newest reading of a sensor, °C with the uncertainty taken off. */
    public record LatestLine(String sensor, String celsius, String at) {}

    /** @param recorders the sources that record its device */
    static ChargeView of(ChargeState state, List<String> recorders, Instant now, ZoneId zone) {
        HeatRecord judged = sofar(state, !recorders.isEmpty(), now);
        boolean underWay = state.closed().isEmpty();
        List<String> reasons = state.closed()
                .map(ChargeState.Closed::reasons)
                .orElse(state.points().isEmpty() ? List.of() : judged.reasons());
        ChargePicture picture = ChargePicture.of(state, zone);
        return new ChargeView(
                state,
                Words.moment(state.charge().openedAt(), zone) + ", "
                        + state.charge().openedBy(),
                judged.limits().stream().map(ChargeView::line).toList(),
                reasons,
                underWay ? recorder(state, recorders) : "",
                underWay && !recorders.isEmpty() ? latest(state, now, zone) : List.of(),
                state.points().isEmpty() && recorders.isEmpty()
                        ? List.of()
                        : judged.gaps().stream().map(gap -> gap(gap, zone)).toList(),
                sources(state),
                judged.hottestColdestC().isPresent()
                        ? "The coldest sensor" + (picture.coldest().isEmpty() ? "" : ", " + picture.coldest() + ",")
                                + " reached "
                                + ChargePicture.celsius(judged.hottestColdestC().getAsDouble()) + "."
                        : "Not every sensor has a record yet.",
                picture.svg(),
                state.signatures().stream()
                        .map(one -> one.by() + ", " + Words.moment(one.at(), zone))
                        .toList());
    }

    /** How the record stands: to when the device was opened again; before, with everything confirmed, to now where a recorder sends, else to its last point. */
    private static HeatRecord sofar(ChargeState state, boolean recorder, Instant now) {
        Instant last = state.points().stream()
                .map(Charge.Point::at)
                .max(Instant::compareTo)
                .orElse(state.charge().openedAt());
        Instant end = recorder && now.isAfter(last) ? now : last;
        return ChargeBook.judged(
                state,
                state.closed().map(ChargeState.Closed::openedAgain).orElse(end),
                Set.copyOf(state.charge().treatment().confirm()));
    }

    private static String recorder(ChargeState state, List<String> recorders) {
        return recorders.isEmpty()
                ? "No source is named as the recorder of " + state.charge().device()
                        + ": the record is typed or read from a file."
                : "Source " + String.join(", ", recorders) + " records "
                        + state.charge().device() + ": its readings are added as they come.";
    }

    private static List<LatestLine> latest(ChargeState state, Instant now, ZoneId zone) {
        Map<String, Charge.Point> latest = new TreeMap<>();
        state.points()
                .forEach(point -> latest.merge(
                        point.sensor(), point, (before, one) -> one.at().isBefore(before.at()) ? before : one));
        return latest.values().stream()
                .sorted(Comparator.comparingDouble(Charge.Point::celsius))
                .map(point -> new LatestLine(
                        point.sensor(),
                        ChargePicture.celsius(point.celsius() - state.charge().uncertaintyK()),
                        time(point.at(), zone) + ago(Duration.between(point.at(), now))))
                .toList();
    }

    private static String ago(Duration since) {
        return since.isNegative() ? "" : ", " + ChargePicture.time(since).strip() + " ago";
    }

    private static String gap(HeatRecord.Gap gap, ZoneId zone) {
        return "No reading of sensor " + gap.sensor() + " from " + time(gap.from(), zone) + " to "
                + time(gap.until(), zone) + " ("
                + ChargePicture.time(Duration.between(gap.from(), gap.until())).strip()
                + "): this time does not count.";
    }

    private static String time(Instant at, ZoneId zone) {
        return at.atZone(zone).toLocalTime().truncatedTo(ChronoUnit.SECONDS).format(DateTimeFormatter.ISO_LOCAL_TIME);
    }

    private static List<String> sources(ChargeState state) {
        Map<String, Integer> many = new LinkedHashMap<>();
        state.sources().forEach(source -> many.merge(source, 1, Integer::sum));
        return many.entrySet().stream()
                .map(one -> one.getKey() + (one.getValue() > 1 ? " in " + one.getValue() + " pieces" : ""))
                .toList();
    }

    private static LimitLine line(HeatRecord.Met met) {
        return new LimitLine(ChargePicture.limit(met.limit()), ChargePicture.time(met.counted()), met.enough());
    }
}
