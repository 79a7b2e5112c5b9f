package org.tenmesh.web.cards;

import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Rulings;
import org.tenmesh.web.words.Words;

/**
 * A decision that no longer stands, as a line on the page of causes.
 *
 * @param what the decision, its person and its time
 * @param about the cause it was about, and its evidence then
 * @param changed why it no longer stands
 */
public record LapsedLine(String what, String about, String changed) {
    public static LapsedLine of(Desk desk, Rulings.Lapsed lapsed) {
        Acted acted = lapsed.acted();
        String kind = CauseKey.of(acted.cause()).map(key -> key.kind().phrase()).orElse("");
        return new LapsedLine(
                Words.sentence(acted.action().phrase()) + " by " + acted.actor() + ", "
                        + Words.moment(acted.at(), desk.zone())
                        + (acted.reason().isEmpty() ? "" : ": " + acted.reason()),
                (kind.isEmpty() ? acted.cause() : Words.sentence(kind) + ", " + acted.cause())
                        + (acted.grounds().evidence().isEmpty()
                                ? "."
                                : ": " + acted.grounds().evidence()),
                lapsed.changed());
    }
}
