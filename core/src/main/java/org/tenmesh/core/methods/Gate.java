package org.tenmesh.core.methods;

/** The gates of a run, in the order they must open. */
public enum Gate {
    CALIBRATION("calibration"),
    KNOWN_SOLUTIONS("known solutions"),
    BLANK("blank"),
    BASELINE("baseline"),
    CARRY_OVER("carry-over"),
    OWN_CONTROL("own control");

    private final String word;

    Gate(String word) {
        this.word = word;
    }

    /** Whether only some instruments have it; the others do without, they do not wait for it. */
    public boolean isOfFlowAlone() {
        return this == BASELINE || this == CARRY_OVER;
    }

    /** The word used in files; it stays, so that files of every version read alike. */
    public String word() {
        return word;
    }

    /** As people call it. */
    public String phrase() {
        return this == KNOWN_SOLUTIONS ? "check solutions" : word;
    }
}
