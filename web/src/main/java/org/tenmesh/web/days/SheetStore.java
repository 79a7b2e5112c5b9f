package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;

/** What the pages of the dock ask of the store. What does not fit is a {@code Refused} with a message fit for a page. */
public interface SheetStore {
    /** Keeps a worksheet and returns the name that its submission got. */
    String keep(String fileName, byte[] bytes, KeptSheet.Said said, String actor, Instant at, LocalDate today);

    /** Says a submission anew, before it is laid out. */
    void change(String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at);

    /** A worksheet that is not laid out. */
    void leave(String submission, String reason, String actor, Instant at);

    /** Those that were laid out wait no longer. */
    void laidOut(List<String> submissions, String actor, Instant at);

    /** Everything that waits to be laid out, the oldest first. */
    List<KeptSheet> waiting();

    /** What the dock said of a submission after it was laid out, the newest first, and last what came with it. */
    List<SaidAnew> versions(String day, String submission);

    /** What the dock said of a submission before it was laid out, the newest first; none where no worksheet of it came. */
    List<SaidAnew> versionsOfSheet(String submission);

    /** Says a submission anew after it was laid out; {@code seen} is the version that was looked at, 0 for what came. */
    void changeLaidOut(
            String day, String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at);

    /**
     * Takes a layout on the list of a date; its submissions wait no longer. All or nothing.
     *
     * @param refusal says of what was done at the dock with these submissions, as it stands in that very transaction, why the layout does not fit;
     *     empty where it does
     */
    void layOut(
            Day day,
            LocalDate date,
            String sha256,
            List<String> submissions,
            Function<Map<String, List<DockAct>>, Optional<String>> refusal,
            String actor,
            Instant at);

    /**
     * Keeps what was done at the dock.
     *
     * @param refusal says of the acts before why this one cannot be kept; empty when it can
     */
    void act(DockAct act, Function<List<DockAct>, Optional<String>> refusal);

    /** Books a regulated submission in and receives its parcel into the account of regulated soil: both or neither. */
    void book(
            DockAct act,
            Function<List<DockAct>, Optional<String>> refusal,
            LedgerBook.Received received,
            LocalDate today);

    /**
     * Takes something back, and with it what follows in the account of regulated soil: both or neither.
     *
     * @param lines of the account as it stands then, those that go with it; throws {@code Refused} where there can be none
     */
    void takeBack(
            DockAct act, Function<List<DockAct>, Optional<String>> refusal, Function<List<Move>, List<Move>> lines);

    /** What was done at the dock about everything that waits, by submission, each in its order. */
    Map<String, List<DockAct>> acts();
}
