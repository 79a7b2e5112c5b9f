package org.tenmesh.core.shelf;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;

/**
 * One soil that was put in a box.
 *
 * @param box the box it is in, or was in when it left
 * @param place where that box stands; empty when it was not put in a place yet
 * @param loan to whom it is lent; there while the state is {@link State#LENT}
 * @param releasedOn when the last of its results was released; empty while something is not. One that is a control soil has the dates of the
 *     soil laid out beside it, so that the shelf cannot tell them apart
 * @param pauses holds, past and present
 */
public record Stored(
        LabNumber labNumber,
        Keeping keeping,
        State state,
        String box,
        Optional<String> place,
        Optional<Loan> loan,
        Optional<LocalDate> releasedOn,
        List<Pause> pauses) {
    public Stored {
        pauses = List.copyOf(pauses);
        if (loan.isPresent() != (state == State.LENT)) {
            throw new IllegalArgumentException(labNumber + ": a soil that is lent has a borrower, any other has none");
        }
    }

    /** Where it is: in exactly one of these. */
    public enum State {
        ON_SHELF("on-shelf", "on the shelf"),
        LENT("lent", "lent"),
        DISCARDED("discarded", "discarded"),
        HANDED_OVER("handed-over", "handed over for destruction");

        private final String word;
        private final String phrase;

        State(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        public String word() {
            return word;
        }

        public String phrase() {
            return phrase;
        }

        /** Whether it has left for good. */
        public boolean gone() {
            return this == DISCARDED || this == HANDED_OVER;
        }
    }

    /** @param until the day on which it is to be back */
    public record Loan(String to, LocalDate until) {
        /** Whether it should have been back before this day. */
        public boolean overdue(LocalDate today) {
            return until.isBefore(today);
        }
    }

    /** For how long it is kept; see {@link Kept#of}. */
    public Kept kept(int days, LocalDate today) {
        return Kept.of(releasedOn, days, pauses, today);
    }

    Stored in(State now, Optional<Loan> lent) {
        return new Stored(labNumber, keeping, now, box, place, lent, releasedOn, pauses);
    }

    Stored with(String otherBox, Optional<String> where, List<Pause> holds) {
        return new Stored(labNumber, keeping, state, otherBox, where, loan, releasedOn, holds);
    }
}
