package org.tenmesh.core.custody;

import java.time.Instant;

/**
 * One line of the account of regulated soil. Never changed; what was wrong is put right by a later line.
 *
 * @param id made by whoever sends it, so that a line that is sent twice is kept once
 * @param parcel the parcel that the soil came in
 * @param portion code of what the line is about
 * @param kind what that is
 * @param from code of what it was taken of; empty text unless it was taken
 * @param place where it is afterwards, a shelf, a bag, a bench; empty text where the line says nothing of it
 * @param massMg soil that the line moves, mg, nominal where a portion was not weighed; of a weighing what was found more (positive) or less
 *     (negative) than the account said
 * @param pieces bags, vessels, filters that the line moves
 * @param charge the charge that it was loaded into or destroyed by; empty text otherwise
 * @param note reason, carrier and ticket, whatever else is to be said
 * @param person who did it
 */
public record Move(
        String id,
        What what,
        String parcel,
        String portion,
        PortionKind kind,
        String from,
        String place,
        long massMg,
        int pieces,
        String charge,
        String note,
        String person,
        Instant at) {
    /** What happened. */
    public enum What {
        RECEIVED("received", "received"),
        TAKEN("taken", "taken"),
        MOVED("moved", "moved"),
        DRIED("dried", "dried"),
        WEIGHED("weighed", "weighed"),
        COUNTED("counted", "seen when counted"),
        LOADED("loaded", "loaded"),
        UNLOADED("unloaded", "unloaded"),
        DESTROYED("destroyed", "destroyed"),
        SHIPPED("shipped", "shipped on"),
        LOST("lost", "lost"),
        FOUND("found", "found again"),
        /** Soil that grinding took away, as weighings before and after it say. */
        GROUND_AWAY("ground-away", "lost in grinding"),
        /** A portion that was entered and never was, or a parcel whose booking was taken back. */
        MISTAKEN("mistaken", "entered by mistake"),
        /** Soil of which two people signed that it did not meet regulated soil: from here on it is ordinary. */
        ORDINARY("ordinary-again", "ordinary again"),
        /** A portion that was to be expected and was never made. */
        NOT_MADE("not-made", "not made");

        private final String word;
        private final String phrase;

        What(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        /** The word in what is kept. */
        public String word() {
            return word;
        }

        /** The words for people. */
        public String phrase() {
            return phrase;
        }

        /** By its word. */
        public static What of(String word) {
            for (What what : values()) {
                if (what.word.equals(word)) {
                    return what;
                }
            }
            throw new IllegalArgumentException("no line of the account is called \"" + word + "\"");
        }

        /** Whether nothing is done without saying why. */
        public boolean needsNote() {
            return switch (this) {
                case WEIGHED, SHIPPED, LOST, FOUND, GROUND_AWAY, MISTAKEN, ORDINARY, NOT_MADE -> true;
                default -> false;
            };
        }
    }

    public Move {
        if (id.isBlank() || parcel.isBlank() || portion.isBlank() || person.isBlank()) {
            throw new IllegalArgumentException("a line has an id, a parcel, a portion and a person");
        }
        if (pieces < 0 || (massMg < 0 && what != What.WEIGHED)) {
            throw new IllegalArgumentException(
                    "a line moves something or nothing, found " + massMg + " mg, " + pieces + " pieces");
        }
        if ((what == What.TAKEN) == from.isEmpty()) {
            throw new IllegalArgumentException(
                    "a portion that is taken is taken of something, and no other line is, found " + what);
        }
        boolean charged = what == What.LOADED || what == What.UNLOADED || what == What.DESTROYED;
        if (charged == charge.isEmpty()) {
            throw new IllegalArgumentException(
                    "what is loaded or destroyed names its charge, and no other line does, found " + what);
        }
        if (what.needsNote() && note.isBlank()) {
            throw new IllegalArgumentException("this needs a reason: " + what.phrase());
        }
    }
}
