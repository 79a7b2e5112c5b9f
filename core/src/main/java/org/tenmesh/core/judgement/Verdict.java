package org.tenmesh.core.judgement;

/** What is to happen with a determination, from best to worst. */
public enum Verdict {
    /** May leave. */
    FIT("fit"),
    /** May not leave yet: somebody must look or open a gate. */
    HOLD("hold"),
    /** Must be made again from tray or shelf. */
    REDO("redo");

    private final String word;

    Verdict(String word) {
        this.word = word;
    }

    /** The word used everywhere. */
    public String word() {
        return word;
    }

    /** The worse of the two. */
    public Verdict or(Verdict other) {
        return ordinal() >= other.ordinal() ? this : other;
    }
}
