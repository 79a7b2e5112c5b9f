package org.tenmesh.app.check;

import java.util.Arrays;

/** How far the expected value of a check was verified. */
public enum Standing {
    /** Read in the named source, or in the copy of it that is named. */
    READ("read"),
    /** Given by a general library that was run beside the program. */
    LIBRARY("library"),
    /** Computed from a formula of the named source; the source prints no such number. */
    COMPUTED("computed"),
    /** Common practice in the trade; no one source: never counted. */
    COMMON_PRACTICE("common practice"),
    /** Recalled, not read again: never counted. */
    FROM_MEMORY("from memory");

    private final String word;

    Standing(String word) {
        this.word = word;
    }

    /** The word used in print and in the files. */
    public String word() {
        return word;
    }

    static Standing of(String word) {
        return Arrays.stream(values())
                .filter(standing -> standing.word.equals(word))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("no standing is called " + word));
    }
}
