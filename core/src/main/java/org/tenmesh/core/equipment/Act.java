package org.tenmesh.core.equipment;

import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;

/**
 * What became of a lot or a piece of equipment, as somebody noted it. Never changed: what was noted wrongly is taken back by a later
 * one.
 *
 * @param number counts up over everything noted, in the order in which it was stored
 * @param about of a check what was due; of one that takes back the number of what it takes back; else empty text
 * @param value the number that was read in a check, in the unit of its limits; empty where none was taken
 * @param passed of a check whether it passed; true of everything else
 * @param says a reason or remark; may be empty where the act needs none
 * @param at when it happened
 * @param person who noted it
 * @param storedAt by the server's clock
 */
public record Act(
        long number,
        Thing thing,
        What what,
        String about,
        OptionalDouble value,
        boolean passed,
        String says,
        Instant at,
        String person,
        Instant storedAt) {
    private static final int LONGEST = 500;

    /** What can become of it. */
    public enum What {
        /** A lot was opened. */
        OPENED("opened", "opened", Set.of(Thing.Kind.LOT), false),
        /** A lot took the place of the lot before it of what it stands for. */
        TAKEN_INTO_USE("into-use", "taken into use", Set.of(Thing.Kind.LOT), false),
        /** Nothing of a lot is left, or it was thrown away. */
        USED_UP("used-up", "used up", Set.of(Thing.Kind.LOT), false),
        /** A check or service of equipment was done. */
        CHECKED("checked", "checked", Set.of(Thing.Kind.EQUIPMENT), false),
        /** Equipment may not be used. */
        OUT_OF_SERVICE("out-of-service", "out of service", Set.of(Thing.Kind.EQUIPMENT), true),
        /** Equipment may be used again. */
        BACK_IN_SERVICE("back-in-service", "back in service", Set.of(Thing.Kind.EQUIPMENT), true),
        /** What was noted before is not so. */
        TAKEN_BACK("taken-back", "taken back", Set.of(Thing.Kind.values()), true);

        private final String word;
        private final String phrase;
        private final Set<Thing.Kind> of;
        private final boolean needsReason;

        What(String word, String phrase, Set<Thing.Kind> of, boolean needsReason) {
            this.word = word;
            this.phrase = phrase;
            this.of = of;
            this.needsReason = needsReason;
        }

        /** The word in what is kept. */
        public String word() {
            return word;
        }

        /** The words for people. */
        public String phrase() {
            return phrase;
        }

        /** Whether it can be noted of things of this kind. */
        public boolean isOf(Thing.Kind kind) {
            return of.contains(kind);
        }

        /** Whether it is refused without a reason. */
        public boolean needsReason() {
            return needsReason;
        }

        public static Optional<What> of(String word) {
            return Arrays.stream(values())
                    .filter(what -> what.word.equals(word))
                    .findFirst();
        }
    }

    /** @throws IllegalArgumentException naming what cannot be */
    public Act {
        if (!what.isOf(thing.kind())) {
            throw new IllegalArgumentException(thing.key() + " cannot be " + what.phrase());
        }
        if (what.needsReason() && says.isBlank()) {
            throw new IllegalArgumentException(thing.key() + " is " + what.phrase() + ": expected a reason");
        }
        if (says.length() > LONGEST) {
            throw new IllegalArgumentException(
                    thing.key() + ": expected a remark of at most " + LONGEST + " characters, found " + says.length());
        }
        if (what == What.CHECKED && about.isBlank() || what == What.TAKEN_BACK && !about.matches("[0-9]{1,18}")) {
            throw new IllegalArgumentException(thing.key() + " is " + what.phrase() + ": expected of what");
        }
        if (value.isPresent() && !Double.isFinite(value.getAsDouble())) {
            throw new IllegalArgumentException(thing.key() + ": expected a number that was read");
        }
    }

    /** Everything it says in one line, by which the journal vouches for it. */
    public String line() {
        return number + ". " + thing.key() + " " + what.word() + "; of " + about + "; value "
                + (value.isPresent() ? Double.toString(value.getAsDouble()) : "-") + "; "
                + (passed ? "passed" : "failed") + "; " + says + "; " + at + "; by " + person + " at " + storedAt;
    }
}
