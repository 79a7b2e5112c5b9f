package org.tenmesh.core.shelf;

import java.util.Optional;

/** How a soil is to be kept. */
public enum Keeping {
    ORDINARY("ordinary", "ordinary"),
    /** Apart from ordinary soil, and destroyed under permit; never on an ordinary discard list. */
    REGULATED("regulated", "regulated"),
    /** Where nobody has said whether it is regulated it is kept as if it were, until somebody has. */
    UNSETTLED("unsettled", "not known whether regulated");

    private final String word;
    private final String phrase;

    Keeping(String word, String phrase) {
        this.word = word;
        this.phrase = phrase;
    }

    /** As the record says of a soil; empty when it does not say. */
    public static Keeping of(Optional<Boolean> regulated) {
        return regulated.map(yes -> yes ? REGULATED : ORDINARY).orElse(UNSETTLED);
    }

    /** The word in what is kept. */
    public String word() {
        return word;
    }

    /** For people. */
    public String phrase() {
        return phrase;
    }

    /** Whether it is kept in boxes and at places for regulated soil. */
    public boolean apart() {
        return this != ORDINARY;
    }
}
