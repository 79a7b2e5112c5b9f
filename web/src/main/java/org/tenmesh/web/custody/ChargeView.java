package org.tenmesh.web.custody;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
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
import org.tenmesh.web.cards.SilentRecorder;
import org.tenmesh.web.words.Words;

/**
 * One charge: what was laid down, what lies in it, its record against the limits, who signed.
 *
 * @param reasons why it failed or, before it is closed, why it would
 * @param reasonsSay what the reasons are of a charge that is not closed; empty text where there is nothing to say
 * @param recorder what records the device by itself, in a sentence; empty text where the charge is closed
 * @param silent that the recorder sends nothing any more; empty text where it does
 * @param latest the newest reading of each sensor, the coldest first; none where the charge is closed or nothing records it
 * @param gaps where nothing is known of a sensor, so that no time counts
 * @param sources where the record came from, each with how many pieces of it
 * @param coldest what the coldest sensor reached, in a sentence
 * @param picture of the record; empty text without one
 * @param small the same for a narrow screen
 */
public record ChargeView(
        ChargeState state,
        String opened,
        List<LimitLine> limits,
        List<String> reasons,
        String reasonsSay,
        String recorder,
        String silent,
        List<LatestLine> latest,
        List<String> gaps,
        List<String> sources,
        String coldest,
        String picture,
        String small,
        List<String> signatures) {
    /** A pair of limits and what of it was met. */
    public record LimitLine(String limit, String counted, boolean enough) {}

    /**
     * The newest reading of a sensor, °C with the uncertainty taken off.
     *
     * @param late whether nothing came since for longer than the treatment allows
     */
    public record LatestLine(String sensor, String celsius, String at, boolean late) {}

    /** @param recorders the sources that record its device */
    static ChargeView of(ChargeState state, List<String> recorders, Instant now, ZoneId zone) {
        boolean live = !recorders.isEmpty();
        Instant until = until(state, live ? now : Instant.MIN);
        HeatRecord judged = ChargeBook.judged(
                state, until, Set.copyOf(state.charge().treatment().confirm()));
        boolean underWay = state.closed().isEmpty();
        List<String> reasons = state.closed()
                .map(ChargeState.Closed::reasons)
                .orElse(state.points().isEmpty() ? List.of() : judged.reasons());
        ChargePicture picture = ChargePicture.of(state, until, zone);
        return new ChargeView(
                state,
                Words.moment(state.charge().openedAt(), zone) + ", "
                        + state.charge().openedBy(),
                judged.limits().stream().map(ChargeView::line).toList(),
                reasons,
                reasons.isEmpty() || !underWay
                        ? ""
                        : judged.passed()
                                ? "If it were closed now it would pass, but look at this:"
                                : "If it were closed now it would fail:",
                underWay ? recorder(state, recorders) : "",
                underWay && live
                        ? SilentRecorder.of(state, now, zone)
                                .map(SilentRecorder::says)
                                .orElse("")
                        : "",
                underWay && live ? latest(state, now, zone) : List.of(),
                state.points().isEmpty() && !live
                        ? List.of()
                        : gaps(state, judged.gaps(), underWay && live ? until : Instant.MAX, zone),
                sources(state),
                judged.hottestColdestC().isPresent()
                        ? "The coldest sensor" + (picture.coldest().isEmpty() ? "" : ", " + picture.coldest() + ",")
                                + " reached "
                                + ChargePicture.celsius(judged.hottestColdestC().getAsDouble()) + "."
                        : "Not every sensor has a record yet.",
                picture.svg(),
                picture.small(),
                state.signatures().stream()
                        .map(one -> one.by() + ", " + Words.moment(one.at(), zone))
                        .toList());
    }

    /** To when the record is looked at: to when the device was opened again; before, to now where a recorder sends, else to its last point. */
    static Instant until(ChargeState state, Instant now) {
        Instant last = state.points().stream()
                .map(Charge.Point::at)
                .max(Instant::compareTo)
                .orElse(state.charge().openedAt());
        return state.closed().map(ChargeState.Closed::openedAgain).orElse(now.isAfter(last) ? now : last);
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
                        time(point.at(), zone) + ago(Duration.between(point.at(), now)),
                        Duration.between(point.at(), now)
                                        .compareTo(state.charge().treatment().longestGap())
                                > 0))
                .toList();
    }

    private static String ago(Duration since) {
        return since.isNegative() ? "" : ", " + Words.lasted(since) + " ago";
    }

    /** Sensors that were silent together in one line. */
    private static List<String> gaps(ChargeState state, List<HeatRecord.Gap> gaps, Instant goesOn, ZoneId zone) {
        Map<List<Instant>, List<String>> together = new LinkedHashMap<>();
        gaps.forEach(gap -> together.computeIfAbsent(List.of(gap.from(), gap.until()), time -> new ArrayList<>())
                .add(gap.sensor()));
        return together.entrySet().stream()
                .map(one -> gap(
                        one.getValue().size() == state.charge().sensors().size()
                                ? "any sensor"
                                : (one.getValue().size() > 1 ? "sensors " : "sensor ") + Words.and(one.getValue()),
                        one.getKey().get(0),
                        one.getKey().get(1),
                        goesOn,
                        zone))
                .toList();
    }

    private static String gap(String sensors, Instant from, Instant until, Instant goesOn, ZoneId zone) {
        return "No reading of " + sensors
                + (until.equals(goesOn)
                        ? " since " + time(from, zone)
                        : " from " + time(from, zone) + " to " + time(until, zone))
                + " (" + Words.lasted(Duration.between(from, until)) + "): this time does not count.";
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
        return new LimitLine(ChargePicture.limit(met.limit()), Words.lasted(met.counted()), met.enough());
    }
}
