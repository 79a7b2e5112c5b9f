package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.util.Optional;

/**
 * Regulated soil that came in together, under one permit. What was decided when it came stays, whatever later versions say.
 *
 * @param code under which it stands in the account
 * @param submission whose soil it is; empty text where it belongs to none
 * @param because what made it regulated: the lists that named its origin, or whose decision it was
 * @param permit number of the permit that admits it; empty text where none is known yet
 * @param permitVersion its version; 0 where none is known yet
 * @param keepUntil last day on which it may be there untreated; empty where the permit states none
 * @param condition in which it came
 * @param weighed whether its soil is kept by mass too; otherwise by pieces alone
 */
public record Parcel(
        String code,
        String submission,
        Origin origin,
        String because,
        String permit,
        int permitVersion,
        LocalDate receivedOn,
        Optional<LocalDate> keepUntil,
        String condition,
        boolean weighed) {
    public Parcel {
        if (code.isBlank() || because.isBlank()) {
            throw new IllegalArgumentException("a parcel has a code and a reason why it is regulated");
        }
        if (keepUntil.filter(receivedOn::isAfter).isPresent()) {
            throw new IllegalArgumentException(
                    "a parcel is kept after it came, found " + receivedOn + " to " + keepUntil.get());
        }
    }

    /** Whether the permit is known under which it is kept: before that nothing of it is destroyed. */
    public boolean permitKnown() {
        return !permit.isBlank();
    }
}
