package org.tenmesh.core.release;

import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Uncertainty;

/** Which kind of answer a released result is: its text says how it is printed, the case what it means. */
public enum ReleasedCase {
    /** A number with its expanded uncertainty. */
    NUMBER("number"),
    /** A calculated number whose uncertainty is not stated. */
    NUMBER_AT_END("number-at-end"),
    /** A number with its expanded uncertainty, below the lowest standard of its calibration. */
    NUMBER_BELOW_STANDARDS("number-below-standards"),
    /** Below the reporting limit. */
    BELOW("below"),
    /** Above what the method can state. */
    ABOVE("above"),
    /** More than the detector can distinguish. */
    SATURATED("saturated"),
    /** Too little soil was sent for this portion. */
    NOT_ENOUGH_SOIL("not-enough-soil"),
    /** A class in words. */
    CLASSED("classed"),
    /** Held back, or nothing was obtained. */
    HELD("held");

    private final String word;

    ReleasedCase(String word) {
        this.word = word;
    }

    /** As it is stored. */
    public String word() {
        return word;
    }

    /** A number or a limit, in contrast to a class, a word in place of a number, or nothing. */
    public boolean isNumeric() {
        return switch (this) {
            case NUMBER, NUMBER_AT_END, NUMBER_BELOW_STANDARDS, BELOW, ABOVE -> true;
            case SATURATED, NOT_ENOUGH_SOIL, CLASSED, HELD -> false;
        };
    }

    /**
     * The case that was stored.
     *
     * @throws IllegalArgumentException if no case has this word
     */
    public static ReleasedCase ofWord(String word) {
        for (ReleasedCase one : values()) {
            if (one.word.equals(word)) {
                return one;
            }
        }
        throw new IllegalArgumentException(
                "no kind of released result is called \"" + word
                        + "\"; expected number, number-at-end, number-below-standards, below, above, saturated, not-enough-soil, classed or held");
    }

    /** The case of an amount that leaves. */
    static ReleasedCase of(Amount amount, Stated stated) {
        if (amount instanceof Amount.Measured measured) {
            if (measured.isBelowStandards()) {
                return NUMBER_BELOW_STANDARDS;
            }
            return stated.known() instanceof Uncertainty.Expanded ? NUMBER : NUMBER_AT_END;
        }
        if (amount instanceof Amount.Below) {
            return BELOW;
        }
        if (amount instanceof Amount.Above) {
            return ABOVE;
        }
        if (amount instanceof Amount.Saturated) {
            return SATURATED;
        }
        if (amount instanceof Amount.NotEnoughSoil) {
            return NOT_ENOUGH_SOIL;
        }
        return amount instanceof Amount.Classed ? CLASSED : HELD;
    }

    /**
     * The case of a result released by version 0.1, which stored a text only. This is the one place where a text is read back; later
     * releases store their case.
     *
     * @param value was stored for numbers alone
     */
    public static ReleasedCase ofText(OptionalDouble value, String reported, String heldBecause) {
        if (!heldBecause.isBlank() || reported.isBlank()) {
            return HELD;
        }
        if (reported.startsWith("<")) {
            return BELOW;
        }
        if (reported.startsWith(">")) {
            return ABOVE;
        }
        if (value.isPresent()) {
            return NUMBER;
        }
        return switch (reported) {
            case "saturated" -> SATURATED;
            case "not enough soil" -> NOT_ENOUGH_SOIL;
            default -> CLASSED;
        };
    }
}
