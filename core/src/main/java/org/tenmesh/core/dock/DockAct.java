package org.tenmesh.core.dock;

import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;

/**
 * What somebody did or said at the dock, as it is kept. Never changed: what was wrong is taken back by a later act.
 *
 * @param id one for each act
 * @param number the bag it is about, by the sheet; of {@link What#COUNTED} how many bags, of {@link What#BOOKED} how many
 *     soils, of {@link What#WEIGHED} grams, of {@link What#BOX} 1 where it was brought by hand; otherwise 0
 * @param about the box, the label of a bag that is not on the sheet, the key of an exception, the region of an origin, the permit of a regulated
 *     submission that is booked in, or the id of the act that
 *     is taken back; may be empty
 * @param says one word: how a bag was seen, how a box looked, the kind of an exception, a decision, a country; may be empty
 * @param reason in the person's own words, or the lists by which a submission was booked in; may be empty where none is needed
 */
public record DockAct(
        String id,
        String submission,
        What what,
        int number,
        String about,
        String says,
        String reason,
        String actor,
        Instant at) {
    /** A bag that was scanned, so that the order of scanning is the order of the bags. */
    public static final String SCANNED = "scanned";
    /** A bag that was ticked on the list, in whatever order. */
    public static final String TICKED = "ticked";
    /** A regulated submission, in {@link What#BOOKED}. */
    public static final String REGULATED = "regulated";
    /** Any other. */
    public static final String ORDINARY = "ordinary";

    public static final int LONGEST = 500;

    /** @throws IllegalArgumentException where something is longer than it may be, or a number is below 0 */
    public DockAct {
        if (id.isBlank() || number < 0 || about.length() > LONGEST || says.length() > 64 || reason.length() > LONGEST) {
            throw new IllegalArgumentException("act " + id
                    + " at the dock: expected a number of 0 or more, and words of at most " + LONGEST + " characters");
        }
    }

    /** What can be done or said. */
    public enum What {
        BOX("box", "box there"),
        COUNTED("counted", "bags counted"),
        WEIGHED("weighed", "weighed"),
        THERE("there", "bag there"),
        EXTRA("extra", "bag that is not on the sheet"),
        FOUND("found", "found"),
        ORIGIN("origin", "origin stated"),
        ASKED("asked", "client asked"),
        ANSWERED("answered", "client answered"),
        DECIDED("decided", "decided"),
        BOOKED("booked", "booked in"),
        /** Its soil met regulated soil, as in a mill that was not cleaned; {@code about} is the permit of that soil, {@code reason} says where. */
        MADE_REGULATED("made-regulated", "became regulated"),
        TAKEN_BACK("taken-back", "taken back");

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

        public static Optional<What> of(String word) {
            return Arrays.stream(values())
                    .filter(what -> what.word.equals(word))
                    .findFirst();
        }
    }
}
