package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;

/**
 * What one gate said of one run.
 *
 * @param gate which: calibration, known solutions, blank, own control
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
        CARRY_OVER("carry-over"),
        OWN_CONTROL("own control");

        private final String word;

        Gate(String word) {
            this.word = word;
        }

        /** The word used in files and on pages. */
        public String word() {
            return word;
        }
    }
}
