package org.tenmesh.store.custody;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * A submission of which it came to be known after its layout that it met regulated soil.
 *
 * @param parcel in the account
 * @param released revision of its newest report that was released before that was known; 0 where none was
 * @param met whether the notes that count now say so still
 * @param signatures by which it is ordinary again, when there are two
 */
public record Became(
        String submission,
        String parcel,
        String because,
        String by,
        Instant at,
        int released,
        boolean met,
        List<Signature> signatures) {
    public Became {
        signatures = List.copyOf(signatures);
    }

    /**
     * A person's word that it did not meet regulated soil.
     *
     * @param quality whether the person was of quality
     */
    public record Signature(String by, boolean quality, String reason, Instant at) {}

    /** Whether two people signed that it is ordinary again. */
    public boolean ordinaryAgain() {
        return signatures.size() == 2;
    }

    /** Whether it is regulated, and the notes no longer say why: two people may sign that it is ordinary again. */
    public boolean open() {
        return !met && !ordinaryAgain();
    }

    /** What is decided of ordinary soil that lies in one tray with regulated soil. */
    public enum Decision {
        /** It is handled as regulated too. */
        REGULATED("regulated", "handled as regulated"),
        /** It did not touch the regulated soil and stays ordinary. */
        ORDINARY("ordinary", "stays ordinary");

        private final String word;
        private final String phrase;

        Decision(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        /** The word in what is kept and in forms. */
        public String word() {
            return word;
        }

        /** The words for people. */
        public String phrase() {
            return phrase;
        }

        /** By its word; empty where there is none. */
        public static Optional<Decision> of(String word) {
            for (Decision decision : values()) {
                if (decision.word.equals(word)) {
                    return Optional.of(decision);
                }
            }
            return Optional.empty();
        }
    }

    /** A decision that was kept. */
    public record Decided(Decision decision, String reason, String by, Instant at) {}

    /**
     * A tray in which soil lies that became regulated after its layout.
     *
     * @param day name of the day on which it was laid out
     * @param regulated lab numbers, in the order of the wells
     * @param ordinary the same, of the others: they stand in one tray with regulated soil
     * @param decided what counts of the others; empty before somebody decided
     * @param anew whether soil of the tray is ordinary again since that was decided
     */
    public record InOneTray(
            String day,
            String tray,
            List<String> regulated,
            List<String> ordinary,
            Optional<Decided> decided,
            boolean anew) {
        public InOneTray {
            regulated = List.copyOf(regulated);
            ordinary = List.copyOf(ordinary);
        }

        /** Whether somebody has to decide. */
        public boolean open() {
            return !ordinary.isEmpty() && (decided.isEmpty() || anew);
        }
    }
}
