package org.tenmesh.app.check;

/** How far the expected value of a check was verified. */
public enum Standing {
    /** Read in the named source, or in the copy of it that is named. */
    READ("read"),
    /** Computed from a formula of the named source; the source prints no such number. */
    COMPUTED("computed"),
    /** Recalled, not read again: never counted. */
    FROM_MEMORY("from memory");

    private final String word;

    Standing(String word) {
        this.word = word;
    }

    /** The word used in print. */
    public String word() {
        return word;
    }
}
