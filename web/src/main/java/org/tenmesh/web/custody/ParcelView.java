package org.tenmesh.web.custody;

import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.web.words.Words;

/**
 * One parcel: what is known of it, where every portion of it is, what is missing.
 *
 * @param gone says that more soil is gone than the settings allow; empty text where not
 * @param kinds of portions that nobody entered, by the word of the kind
 */
public record ParcelView(
        Parcel parcel,
        String until,
        List<RegulatedView.BalanceLine> balance,
        boolean exact,
        String gone,
        List<Expected> missing,
        Map<String, String> kinds,
        List<PortionLine> portions,
        List<MoveLine> moves,
        int lines) {
    /** A portion. */
    public record PortionLine(String code, String kind, String state, String place, String mass, String seen) {}

    /** A line of the account. */
    public record MoveLine(
            String at, String person, String what, String portion, String place, String mass, String note) {}

    static ParcelView of(Account account, Parcel parcel) {
        List<Expected> missing = account.missing(parcel.code());
        Map<String, String> kinds = new LinkedHashMap<>();
        missing.forEach(one -> kinds.put(one.kind().word(), one.kind().phrase()));
        return new ParcelView(
                parcel,
                parcel.keepUntil().map(Words::day).orElse("none stated: ask the permit officer"),
                RegulatedView.lines(account.ledger().balance(parcel.code())),
                account.ledger().balance(parcel.code()).exact(),
                account.gone(parcel.code(), account.ledger().balance(parcel.code()))
                        .orElse(""),
                missing,
                kinds,
                account.ledger().portions().stream()
                        .filter(one -> one.parcel().equals(parcel.code()))
                        .map(one -> portion(account, one))
                        .toList(),
                account.moves().stream()
                        .filter(one -> one.parcel().equals(parcel.code()))
                        .map(one -> move(account, one))
                        .toList(),
                account.moves().size());
    }

    private static PortionLine portion(Account account, Held held) {
        return new PortionLine(
                held.code(),
                held.kind().phrase(),
                held.state().phrase() + (held.charge().isEmpty() ? "" : " " + held.charge()),
                held.place(),
                held.massMg() == 0 ? "" : RegulatedView.grams(held.massMg()),
                Words.moment(held.seen(), account.zone()) + ", " + held.by());
    }

    private static MoveLine move(Account account, Move move) {
        return new MoveLine(
                Words.moment(move.at(), account.zone()),
                move.person(),
                move.what().phrase(),
                move.portion() + (move.from().isEmpty() ? "" : " of " + move.from()),
                move.charge().isEmpty() ? move.place() : "charge " + move.charge(),
                move.massMg() == 0 ? "" : RegulatedView.grams(move.massMg()),
                move.note());
    }

    /** Kinds that somebody may enter by hand. */
    static List<PortionKind> byHand() {
        return Arrays.stream(PortionKind.values())
                .filter(kind -> kind != PortionKind.PARCEL)
                .toList();
    }
}
