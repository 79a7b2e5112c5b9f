package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;

/**
 * What one gate said of one run.
 *
 * @param gate which: calibration, known solutions, blank, baseline and carry-over of flow analysis, own control
 * @param open whether it let the run pass
 * @param observed the number or fact that decided, as text
 * @param limit what it was compared with, as text
 * @param at when the deciding reading was taken
 */
public record GateOutcome(
        String instrument, String run, Gate gate, boolean open, String observed, String limit, OffsetDateTime at) {

    /** The gates, in the order they must open. */
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
}
