package org.tenmesh.core.release;

import java.util.OptionalDouble;
import org.tenmesh.core.intake.LabNumber;

/**
 * A result as it left, frozen: what was printed stays what was printed.
 *
 * @param kind which kind of answer it is
 * @param value full precision behind the text; empty when there was no number (held, or not enough soil)
 * @param reported the text that left, limits included; empty when the result was held back
 * @param uncertainty the text of the expanded uncertainty; empty when none was stated
 * @param heldBecause why it did not leave; empty text when it did
 * @param despite which check failed, when it left all the same because somebody accepted that; empty text for all others
 */
public record ReleasedResult(
        LabNumber labNumber,
        String method,
        String methodVersion,
        String analyte,
        ReleasedCase kind,
        OptionalDouble value,
        String unit,
        String reported,
        String uncertainty,
        String heldBecause,
        String despite) {

    /** A result that left without an accepted failure, or did not leave. */
    public ReleasedResult(
            LabNumber labNumber,
            String method,
            String methodVersion,
            String analyte,
            ReleasedCase kind,
            OptionalDouble value,
            String unit,
            String reported,
            String uncertainty,
            String heldBecause) {
        this(labNumber, method, methodVersion, analyte, kind, value, unit, reported, uncertainty, heldBecause, "");
    }

    /** A result of which only the text was kept, as version 0.1 did: its kind is the one that the text says. */
    public ReleasedResult(
            LabNumber labNumber,
            String method,
            String methodVersion,
            String analyte,
            OptionalDouble value,
            String unit,
            String reported,
            String uncertainty,
            String heldBecause) {
        this(
                labNumber,
                method,
                methodVersion,
                analyte,
                ReleasedCase.ofText(value, reported, heldBecause),
                value,
                unit,
                reported,
                uncertainty,
                heldBecause,
                "");
    }

    /** Whether it left although a check failed, because somebody accepted that. */
    public boolean isAccepted() {
        return !despite.isEmpty();
    }

    /** Whether the kind is another than the text alone would say. */
    public boolean saysMoreThanItsText() {
        return kind != ReleasedCase.ofText(value, reported, heldBecause);
    }
}
