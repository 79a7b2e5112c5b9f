package org.tenmesh.store.custody;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;

/**
 * What was kept of the account or a charge, as the journal vouches for it.
 *
 * @param what the word in the journal
 * @param subject the parcel, batch or charge
 * @param sha256 digest of everything that was kept
 */
public record Kept(String what, String subject, String sha256, String actor, Instant at) {
    static final String PARCEL = "custody-parcel";
    static final String MOVES = "custody-moves";
    static final String OPENED = "custody-charge-opened";
    static final String RECORD = "custody-charge-record";
    static final String CLOSED = "custody-charge-closed";
    static final String CHARGE_SIGNED = "custody-charge-signed";
    static final String RESIDUE = "custody-charge-residue";

    static final String BECAME = "custody-became-regulated";
    static final String PERMIT_ENTERED = "custody-permit-entered";
    static final String TRAY_DECIDED = "custody-tray-decided";
    static final String ORDINARY_AGAIN = "custody-ordinary-again";

    static Kept of(String what, String subject, Sha256 digest, String actor, Instant at) {
        return new Kept(what, subject, digest.hex(), actor, at);
    }

    void write(Handle handle, Journal journal) {
        journal.write(handle, at, actor, what, subject, Json.object("sha256", sha256));
    }

    // As the journal keeps it, so that the two can be compared.
    static OffsetDateTime millis(Instant at) {
        return at.truncatedTo(ChronoUnit.MILLIS).atOffset(ZoneOffset.UTC);
    }
}
