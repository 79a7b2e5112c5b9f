package org.tenmesh.core.bench;

import java.time.Instant;

/**
 * What somebody did at the bench, as it is kept. Never changed: what was wrong is taken back by a later act.
 *
 * @param id made by the device, so that an act that is sent twice is kept once
 * @param step key of the step; empty text for an act that is about no step
 * @param about the lab number of the soil that was spilt or too little, the instrument that the vessels went to, or the id of the act that is
 *     taken back; may be empty
 * @param told what the person was told and confirmed, such as a step that comes before and was not noted; empty when nothing was
 * @param person who did it
 * @param device the device's own name for itself
 * @param deviceAt by the device's clock
 * @param storedAt by the server's clock
 */
public record BenchAct(
        String id,
        Subject subject,
        String step,
        What what,
        String about,
        String told,
        String person,
        String device,
        Instant deviceAt,
        Instant storedAt) {

    /** What can be said of a step with one tap. */
    public enum What {
        BEGUN("begun", "begun"),
        DONE("done", "done"),
        SPILT("spilt", "spilt"),
        TOO_LITTLE("too-little", "too little soil"),
        WRONG_TRAY("wrong-tray", "wrong tray"),
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
    }
}
