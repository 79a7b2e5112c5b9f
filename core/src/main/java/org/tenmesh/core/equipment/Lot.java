package org.tenmesh.core.equipment;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.tenmesh.core.quantity.Unit;

/**
 * One lot of a standard, buffer, extractant, control soil or reagent, as it was registered. Never changed: what becomes of it is
 * noted in {@link Act}s.
 *
 * @param name on its label
 * @param standsFor what it is called in readings and methods: the name of the standard, check solution, control material or
 *     extractant of which this is one lot
 * @param method in which it has that name; empty text for every method
 * @param source who made it: a supplier's name, or how it was prepared
 * @param contents what it is known to hold; empty where it has no stated value
 * @param received the date on which it came or was prepared
 * @param expires the last day on which it may be used; empty where none is stated
 * @param daysOpen how many days after it was opened it may be used; empty where that is not limited
 * @param madeFrom names of the lots that a prepared one was made from
 */
public record Lot(
        String name,
        Kind kind,
        String standsFor,
        String method,
        String source,
        List<Content> contents,
        LocalDate received,
        Optional<LocalDate> expires,
        OptionalInt daysOpen,
        List<String> madeFrom,
        String registeredBy,
        Instant registeredAt) {
    private static final int LONGEST = 200;
    private static final int MOST_DAYS = 36_500;

    /** What a lot is of. */
    public enum Kind {
        STANDARD("standard", "standard"),
        CHECK_SOLUTION("check-solution", "check solution"),
        BUFFER("buffer", "buffer"),
        EXTRACTANT("extractant", "extractant"),
        CONTROL_SOIL("control-soil", "control soil"),
        REAGENT("reagent", "reagent");

        private final String word;
        private final String phrase;

        Kind(String word, String phrase) {
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

        public static Optional<Kind> of(String word) {
            return Arrays.stream(values())
                    .filter(kind -> kind.word.equals(word))
                    .findFirst();
        }
    }

    /**
     * What a lot is known to hold of one analyte.
     *
     * @param uncertainty expanded, in {@code unit}, as its certificate states it; empty where it states none
     */
    public record Content(String analyte, double value, OptionalDouble uncertainty, Unit unit) {
        /** @throws IllegalArgumentException where a number is not finite, or the uncertainty is negative */
        public Content {
            if (analyte.isBlank()
                    || !Double.isFinite(value)
                    || uncertainty.isPresent()
                            && !(uncertainty.getAsDouble() >= 0 && uncertainty.getAsDouble() < 1e15)) {
                throw new IllegalArgumentException("content \"" + analyte + "\" " + value + " ± " + uncertainty
                        + ": expected an analyte, a number, and an uncertainty of 0 or more");
            }
        }

        /** As it is typed and shown: {@code pH 7.00 ± 0.01 [pH]}. */
        public String text() {
            return analyte + " " + number(value)
                    + (uncertainty.isPresent() ? " ± " + number(uncertainty.getAsDouble()) : "") + " " + unit.ucum();
        }

        private static String number(double number) {
            return number == Math.rint(number) && Math.abs(number) < 1e9
                    ? Long.toString((long) number)
                    : Double.toString(number);
        }
    }

    /** @throws IllegalArgumentException naming what cannot be */
    public Lot {
        contents = List.copyOf(contents);
        madeFrom = List.copyOf(madeFrom);
        Thing.lot(name);
        if (standsFor.isBlank() || standsFor.length() > LONGEST) {
            throw new IllegalArgumentException(
                    "lot " + name + ": expected what it stands for, the name that readings and methods give it");
        }
        if (source.isBlank() || source.length() > LONGEST) {
            throw new IllegalArgumentException(
                    "lot " + name + ": expected its source in 1 to " + LONGEST + " characters");
        }
        if (expires.filter(date -> date.isBefore(received)).isPresent()) {
            throw new IllegalArgumentException(
                    "lot " + name + " expires on " + expires.get() + ", before it was received on " + received);
        }
        if (daysOpen.isPresent() && (daysOpen.getAsInt() < 1 || daysOpen.getAsInt() > MOST_DAYS)) {
            throw new IllegalArgumentException("lot " + name + " may be used for " + daysOpen.getAsInt()
                    + " days after opening: expected 1 to " + MOST_DAYS);
        }
        if (madeFrom.contains(name)) {
            throw new IllegalArgumentException("lot " + name + " cannot be made from itself");
        }
    }

    public Thing thing() {
        return Thing.lot(name);
    }

    /** Everything it says in one line, by which the journal vouches for it. */
    public String line() {
        return "lot " + name + "; " + kind.word() + " of " + standsFor + " in " + method + "; from " + source
                + "; holds "
                + contents.stream().map(Content::text).collect(Collectors.joining(", ")) + "; received " + received
                + "; expires " + expires.map(LocalDate::toString).orElse("-") + "; days open "
                + (daysOpen.isPresent() ? daysOpen.getAsInt() : "-") + "; made from " + String.join(", ", madeFrom)
                + "; by " + registeredBy + " at " + registeredAt;
    }
}
