package org.tenmesh.core.equipment;

import java.time.Instant;

/**
 * That somebody lets results of one day stand although something was wrong with a lot or a piece of equipment. It is bound to what was
 * wrong: when that becomes something else, it allows nothing.
 *
 * @param number counts up in the order in which it was stored
 * @param day name of the laboratory day whose runs it is about
 * @param finding what was wrong, as {@link Finding#says} said it
 */
public record LetStand(long number, Thing thing, String day, String finding, String reason, String person, Instant at) {
    /** @throws IllegalArgumentException without a reason */
    public LetStand {
        if (reason.isBlank() || reason.length() > 500) {
            throw new IllegalArgumentException("results read with "
                    + thing.kind().word() + " " + thing.name() + " stand with a reason of 1 to 500 characters");
        }
    }

    /** Everything it says in one line, by which the journal vouches for it. */
    public String line() {
        return number + ". " + thing.key() + " on " + day + "; " + finding + "; " + reason + "; by " + person + " at "
                + at;
    }
}
