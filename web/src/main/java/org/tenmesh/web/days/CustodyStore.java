package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.custody.Seen;

/** What pages ask of the record of regulated soil. What does not fit is a {@code Refused} with a message fit for a page. */
public interface CustodyStore {
    /** Keeps a new version of a list of areas, not yet in force, and returns its number. */
    int draft(AreaList list, int seen, String reason, String actor, Instant at);

    /** Keeps a new version of a permit, not yet in force, and returns its number. */
    int draft(Permit permit, int seen, String reason, String actor, Instant at);

    /** Signs a version, so that it decides from a day on. */
    void sign(Papers.Kind kind, String name, int version, LocalDate from, LocalDate today, String actor, Instant at);

    /** Every version of every list of areas, the newest of a list first. */
    List<Draft<AreaList>> areaLists();

    /** Every version of every permit, the newest of a permit first. */
    List<Draft<Permit>> permits();

    /** Every version of a list that was signed. */
    List<Signed<AreaList>> signedAreas();

    /** Every version of a permit that was signed. */
    List<Signed<Permit>> signedPermits();

    /** Receives a parcel into the account and gives it its code. */
    Parcel receive(LedgerBook.Received received, LocalDate today, String person, Instant at);

    /** Keeps lines of the account, all or none. */
    void keep(List<Move> lines);

    /** Every parcel, the newest first. */
    List<Parcel> parcels();

    /** Grows with every line and every permit that is entered later: as long as it is the same, no parcel stands otherwise. */
    long newest();

    /** Every line of the account, in the order in which they were kept. */
    List<Move> moves();

    /** The account of those lines, as it stands now; nobody adds to it. */
    Ledger ledger();

    /** What the laboratory record shows of the soils that must be in the account. */
    List<Seen> seen();

    /** Soils that are marked as regulated and were never received into the account. */
    List<Seen.Stray> strays();

    /** Submissions that became regulated after their layout, the newest first. */
    List<Became> became();

    /** The trays in which their soil lies, the newest first. */
    List<Became.InOneTray> inOneTray();

    /** Regulated soil that stands on the shelf among ordinary soil, "lab number: place". */
    List<String> toMove();

    /** Keeps what was decided of the ordinary soil in a tray with regulated soil. */
    void decide(String day, String tray, Became.Decision decision, String reason, String person, Instant at);

    /**
     * Signs that soil that became regulated by a note did not meet regulated soil; with the second signature it is ordinary again.
     *
     * @param quality whether the person is of quality, as one of the two must be
     */
    void ordinaryAgain(String parcel, String reason, String person, boolean quality, Instant at);

    /** Enters the permit of a parcel of which none was known. */
    void enterPermit(String parcel, Signed<Permit> permit, String reason, LocalDate today, String person, Instant at);

    /** Charges that destroy regulated soil, the newest first. */
    List<ChargeState> charges();

    /** Those that are not closed, the newest first. */
    List<ChargeState> chargesUnderWay();

    /** Opens a charge, under a permit that decides on this date. */
    void open(Charge charge, LocalDate today);

    /** Loads portions, all or none. */
    void load(String charge, List<String> codes, String person, Instant at);

    /** Takes a portion out again. */
    void unload(String charge, String code, String person, Instant at);

    /** Adds points to the record of a charge. */
    void record(String charge, String source, List<Charge.Point> points, String person, Instant at);

    /** Closes a charge: its record is judged. */
    HeatRecord close(String charge, Instant openedAgain, Set<String> confirmed, String person, Instant at);

    /** Signs a charge that passed; the second signature destroys what is in it. */
    void sign(String charge, String person, Instant at);

    /** Says what became of what a destroyed charge left. */
    void release(String charge, ChargeState.Residue residue);
}
