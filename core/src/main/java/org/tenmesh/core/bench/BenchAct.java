package org.tenmesh.core.bench;

import java.time.Instant;
import java.util.Collections;
import java.util.EnumMap;
import java.util.Map;

/**
 * What somebody did at the bench, as it is kept. Never changed: what was wrong is taken back by a later act.
 *
 * @param id made by the device, so that an act that is sent twice is kept once
 * @param step key of the step; empty text for an act that is about no step
 * @param about the lab number of the soil that was spilt or too little, the instrument that the vessels went to, the mill that a rack
 *     was ground in, the lot that was poured, the submission that was put on it, or the id of the act that is
 *     taken back; may be empty
 * @param told what the person was told and confirmed, such as a step that comes before and was not noted; of an act that takes another back, why;
 *     empty when there is nothing to say
 * @param person who did it
 * @param device the device's own name for itself
 * @param deviceAt by the device's clock
 * @param storedAt by the server's clock
 * @param measured numbers that were noted with it
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
        Instant storedAt,
        Map<Measure, Double> measured) {
    /** @throws IllegalArgumentException where a number is out of its range */
    public BenchAct {
        EnumMap<Measure, Double> numbers = new EnumMap<>(Measure.class);
        numbers.putAll(measured);
        numbers.forEach((measure, number) -> measure.refusal(number).ifPresent(why -> {
            throw new IllegalArgumentException(measure.word() + ": " + why);
        }));
        measured = Collections.unmodifiableMap(numbers);
    }

    /** One with which nothing was measured. */
    public BenchAct(
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
        this(id, subject, step, what, about, told, person, device, deviceAt, storedAt, Map.of());
    }

    /** A number that was noted with it; 0 where it was not. */
    public double measured(Measure measure) {
        return measured.getOrDefault(measure, 0.0);
    }

    /** What can be said of a step with one tap. */
    public enum What {
        BEGUN("begun", "begun"),
        DONE("done", "done"),
        SPILT("spilt", "spilt"),
        TOO_LITTLE("too-little", "too little soil"),
        WRONG_TRAY("wrong-tray", "wrong tray"),
        /** Bags were put on a rack. */
        LOADED("loaded", "put on the rack"),
        /** A soil of a rack was weighed, to tell whether it is dry. */
        WEIGHED("weighed", "weighed"),
        /** What stayed on the sieve of 2 mm was weighed. */
        COARSE("coarse", "coarse fragments weighed"),
        /** A mill or a rack was cleaned. */
        CLEANED("cleaned", "cleaned"),
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
