package org.tenmesh.web.custody;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.words.Words;

/**
 * One charge: what was laid down, what lies in it, its record against the limits, who signed.
 *
 * @param reasons why it failed or, before it is closed, why it would
 * @param coldest what the coldest sensor reached, in a sentence
 * @param picture of the record; empty text without one
 */
public record ChargeView(
        ChargeState state,
        String opened,
        List<LimitLine> limits,
        List<String> reasons,
        String coldest,
        String picture,
        List<String> signatures) {
    /** A pair of limits and what of it was met. */
    public record LimitLine(String limit, String counted, boolean enough) {}

    static ChargeView of(ChargeState state, ZoneId zone) {
        HeatRecord judged = sofar(state);
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
        return new LimitLine(ChargePicture.limit(met.limit()), ChargePicture.time(met.counted()), met.enough());
    }
}
