package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.redo.Answer;

/**
 * A cause with the picture of what it is about.
 *
 * @param picture SVG; empty text where none fits
 * @param small the same picture for a narrow screen; empty text where the one fits every screen
 * @param numbers every number it rests on; empty in a list of causes
 * @param more how many numbers are left out
 */
public record CauseView(CauseCard card, String picture, String small, List<MeasureFigure> numbers, int more) {
    private static final double IN_LIST = 372;
    private static final double ALONE = 760;
    private static final int MOST_NUMBERS = 60;

    /** As one of several: with its picture while it is open. */
    public static CauseView inList(Desk desk, Cause cause, List<Answer> answers, boolean sealed) {
        CauseCard card = CauseCard.of(desk, cause).with(answers);
        return new CauseView(
                card, card.settled() ? "" : CausePicture.of(desk, cause, sealed, IN_LIST), "", List.of(), 0);
    }

    /** As the one of its page. */
    public static CauseView alone(Desk desk, Cause cause, boolean sealed) {
        List<MeasureFigure> numbers = new ArrayList<>();
        for (Stretch one : cause.stretches()) {
            for (Measure measure : one.measures()) {
                numbers.add(MeasureFigure.of(desk, one.run(), one.method(), measure));
            }
        }
        String picture = CausePicture.of(desk, cause, sealed, ALONE);
        String small = CausePicture.of(desk, cause, sealed, IN_LIST);
        return new CauseView(
                CauseCard.of(desk, cause).with(desk.answers()),
                picture,
                small.equals(picture) ? "" : small,
                numbers.subList(0, Math.min(MOST_NUMBERS, numbers.size())),
                Math.max(0, numbers.size() - MOST_NUMBERS));
    }
}
