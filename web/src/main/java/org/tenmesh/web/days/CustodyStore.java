package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Papers;

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
}
