package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.util.OptionalDouble;

/**
 * What something that holds nothing, or next to nothing, gave: a blank, or a check solution of low content.
 *
 * @param instrument that read it
 * @param day on which its run started
 * @param run its name on that day
 * @param known content of a check solution, in the unit of {@code value}; empty for a blank
 * @param value content that a soil with this reading would have, undiluted and with no blank taken off, in the analyte's unit
 */
public record LowReading(
        String method,
        String analyte,
        String instrument,
        LocalDate day,
        String run,
        int position,
        OptionalDouble known,
        double value) {
    public LowReading {
        if (!Double.isFinite(value)) {
            throw new IllegalArgumentException("reading of " + analyte + " at position " + position + " of run " + run
                    + ": " + value + ", expected a number");
        }
    }

    /** Whether it went through the extraction with no soil. */
    public boolean isBlank() {
        return known.isEmpty();
    }
}
