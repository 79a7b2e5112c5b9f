package org.tenmesh.store.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import org.tenmesh.core.custody.Expected;

/**
 * What the laboratory record shows of a soil that is in the account: a soil of a parcel's submission, or one that lies in a tray with such a soil.
 *
 * @param laidOutOn the laboratory day with whose import it came
 */
public record Seen(
        String parcel, String labNumber, LocalDate laidOutOn, List<ReadBy> runs, List<Expected.Spill> spilt) {
    public Seen {
        runs = List.copyOf(runs);
        spilt = List.copyOf(spilt);
    }

    /** A run that read it. */
    public record ReadBy(String method, String run, Instant at) {}

    /**
     * Soils that are marked as regulated in the record and belong to no parcel of the account.
     *
     * @param submission empty text where they belong to none
     */
    public record Stray(LocalDate day, String submission, int soils) {}
}
