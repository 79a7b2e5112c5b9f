package org.tenmesh.web.cards;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.words.Words;

/**
 * A loaded charge under way whose recorder sends nothing any more: time that counts is lost until somebody looks.
 *
 * @param says of which sensors nothing came, since when and what to do, in sentences
 */
public record SilentRecorder(String charge, String href, String says) {
    /**
     * Those of these charges of which a sensor is silent for longer than the treatment allows.
     *
     * @param recorded devices that a source of capture records: of others a record is typed, and nothing is expected by itself
     */
    public static List<SilentRecorder> of(
            List<ChargeState> charges, Collection<String> recorded, Instant now, ZoneId zone) {
        return charges.stream()
                .filter(one -> recorded.contains(one.charge().device()))
                .flatMap(one -> of(one, now, zone).stream())
                .toList();
    }

    /** Of one charge whose device a source records. */
    public static Optional<SilentRecorder> of(ChargeState state, Instant now, ZoneId zone) {
        Charge charge = state.charge();
        if (state.closed().isPresent() || state.lastLoaded().isEmpty()) {
            return Optional.empty();
        }
        Map<String, Instant> newest = new HashMap<>();
        charge.sensors().forEach(sensor -> newest.put(sensor, state.lastLoaded().get()));
        state.points()
                .forEach(point -> newest.computeIfPresent(
                        point.sensor(), (sensor, at) -> point.at().isAfter(at) ? point.at() : at));
        List<String> silent = charge.sensors().stream()
                .filter(sensor -> Duration.between(newest.getOrDefault(sensor, now), now)
                                .compareTo(charge.treatment().longestGap())
                        > 0)
                .toList();
        if (silent.isEmpty()) {
            return Optional.empty();
        }
        Instant since = silent.stream()
                .map(sensor -> newest.getOrDefault(sensor, now))
                .max(Comparator.naturalOrder())
                .orElseThrow();
        boolean all = silent.size() == charge.sensors().size();
        return Optional.of(new SilentRecorder(
                charge.name(),
                "/regulated/charges/" + Words.part(charge.name()),
                "The recorder of " + charge.device() + " has sent nothing"
                        + (all ? "" : " of sensor" + (silent.size() > 1 ? "s " : " ") + Words.and(silent)) + " since "
                        + Words.moment(since, zone) + " (" + Words.lasted(Duration.between(since, now))
                        + "): this time does not count. Look at the recorder and its line, or close the charge."));
    }
}
