package org.tenmesh.web.cards;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadAgain;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.web.words.Words;

/**
 * What became of causes of one kind, as a row of a table.
 *
 * @param share confirmed of those that were decided, in percent; empty text where none was
 * @param changed results that a new reading changed, of those read again
 */
public record ReadAgainRow(
        String kind, int confirmed, int refuted, int undecided, int open, String share, String changed) {
    /** One row for each kind, in the order of kinds. */
    public static List<ReadAgainRow> of(Map<CauseKind, Answer.Count> counts) {
        return counts.entrySet().stream()
                .map(one -> of(Words.sentence(one.getKey().phrase()), one.getValue()))
                .toList();
    }

    /** Where the odds of a day's cards start from, in one sentence. */
    public static String rates(OwnRecord own) {
        int days = own.days().stream().mapToInt(OwnRecord.OfDay::days).sum();
        return days == 0
                ? "The odds on the cards of this day start from the policy's rates."
                : "The odds on the cards of this day start from the policy's rates and from what was confirmed and refuted on "
                        + (days == 1 ? "the day" : days + " days")
                        + " before it, as that stood when this day was first judged. An answer that comes later counts for later days.";
    }

    private static ReadAgainRow of(String kind, Answer.Count count) {
        int decided = count.confirmed() + count.refuted();
        return new ReadAgainRow(
                kind,
                count.confirmed(),
                count.refuted(),
                count.undecided(),
                count.open(),
                decided == 0 ? "" : percent(count.confirmed(), decided),
                count.compared() == 0
                        ? ""
                        : String.format(
                                Locale.ROOT,
                                "%,d of %,d (%s)",
                                count.changed(),
                                count.compared(),
                                percent(count.changed(), count.compared())));
    }

    private static String percent(int part, int whole) {
        return String.format(Locale.ROOT, "%.0f %%", 100.0 * part / whole);
    }

    /**
     * What reading again changed in results, for one kind of cause and one method.
     *
     * @param results that were read again
     */
    public record Changed(String kind, String method, int results, String otherText, String otherVerdict) {}

    /** Of one day, by kind of cause and method. */
    public static List<Changed> changed(Desk desk) {
        return ReadAgain.of(desk).stream()
                .map(one -> new Changed(
                        Words.sentence(one.kind().phrase()),
                        desk.methodTitle(one.method()),
                        one.results(),
                        one.otherText() + " (" + percent(one.otherText(), one.results()) + ")",
                        one.otherVerdict() + " (" + percent(one.otherVerdict(), one.results()) + ")"))
                .toList();
    }
}
