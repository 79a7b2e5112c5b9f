package org.tenmesh.core.shelf;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.Optional;

/**
 * What somebody did at the shelf, as it is kept. Never changed; what was wrong is put right by a later act.
 *
 * @param about the code of the place, box or discard list, or the lab number, that it was done to
 * @param to where to: the box of a soil, the place of a box, the person or laboratory that a soil is lent to, the discard list, the kind of a
 *     hold; empty text where there is nothing to say
 * @param until when a loan is to be back, or until when a hold lasts; of a discard list its day
 * @param regulated of a new place or box, whether it is for regulated soil; false of everything else
 * @param reason in the person's words; empty text where none is needed
 * @param person who did it
 */
public record ShelfAct(
        What what,
        String about,
        String to,
        Optional<LocalDate> until,
        boolean regulated,
        String reason,
        String person,
        Instant at) {
    /** Longest text of a reason or of whom a soil is lent to. */
    public static final int LONGEST = 200;

    public ShelfAct {
        if (about.isEmpty() || about.length() > 64) {
            throw new IllegalArgumentException(
                    "an act is about something of 1 to 64 characters, found \"" + about + "\"");
        }
        if (to.length() > LONGEST || reason.length() > LONGEST) {
            throw new IllegalArgumentException("at most " + LONGEST + " characters can be said here");
        }
        if (person.isBlank()) {
            throw new IllegalArgumentException("an act at the shelf has a person");
        }
    }

    /** What can be done. */
    public enum What {
        PLACE_MADE("place-made", "place made"),
        BOX_MADE("box-made", "box made"),
        BOX_PUT("box-put", "box put in its place"),
        SOIL_PUT("soil-put", "put in a box"),
        LENT("lent", "lent"),
        RETURNED("returned", "returned"),
        HELD("held", "held back from discard"),
        HOLD_LIFTED("hold-lifted", "hold lifted"),
        LIST_MADE("list-made", "discard list made"),
        LISTED("listed", "on a discard list"),
        SCANNED("scanned", "scanned for a discard list"),
        SIGNED("signed", "discard list signed"),
        DISCARDED("discarded", "discarded"),
        /** Regulated soil leaves the shelf to be destroyed, which is another account. */
        HANDED_OVER("handed-over", "handed over for destruction");

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

        /** @throws IllegalArgumentException if no act has this word */
        public static What ofWord(String word) {
            return Arrays.stream(values())
                    .filter(one -> one.word.equals(word))
                    .findFirst()
                    .orElseThrow(() -> new IllegalArgumentException("no act at the shelf is called \"" + word + "\""));
        }

        /** Whether it is about one soil. */
        public boolean ofASoil() {
            return switch (this) {
                case SOIL_PUT, LENT, RETURNED, HELD, HOLD_LIFTED, LISTED, DISCARDED, HANDED_OVER -> true;
                case PLACE_MADE, BOX_MADE, BOX_PUT, LIST_MADE, SCANNED, SIGNED -> false;
            };
        }
    }
}
