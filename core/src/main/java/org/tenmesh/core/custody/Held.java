package org.tenmesh.core.custody;

import java.time.Instant;

/**
 * A parcel or portion as the account has it.
 *
 * @param from what it was taken of; empty text for a parcel
 * @param massMg soil in it, mg; 0 where it is not kept by mass
 * @param place where it is, or was last
 * @param charge the charge that it lies in or was destroyed by; empty text otherwise
 * @param since when it came into the account
 * @param seen when it was last handled or counted
 * @param by who did so
 */
public record Held(
        String code,
        String parcel,
        PortionKind kind,
        String from,
        long massMg,
        int pieces,
        State state,
        String place,
        String charge,
        Instant since,
        Instant seen,
        String by) {
    /** What became of it. */
    public enum State {
        HELD("held"),
        LOADED("in a charge"),
        DESTROYED("destroyed"),
        SHIPPED("shipped on"),
        LOST("lost"),
        MISTAKEN("entered by mistake"),
        ORDINARY("ordinary again");

        private final String phrase;

        State(String phrase) {
            this.phrase = phrase;
        }

        public String phrase() {
            return phrase;
        }
    }

    /** Whether it is still in the laboratory. */
    public boolean here() {
        return state == State.HELD || state == State.LOADED;
    }

    Held with(State now, long mass, int many, String where, String by, Move line) {
        return new Held(code, parcel, kind, from, mass, many, now, where, by, since, line.at(), line.person());
    }
}
