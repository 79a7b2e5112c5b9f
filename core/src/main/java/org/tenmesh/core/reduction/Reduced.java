package org.tenmesh.core.reduction;

import java.util.List;
import org.tenmesh.core.methods.Method;

/**
 * A run reduced: every determination of every position, and what its calibrations were worth.
 *
 * @param determinations in the order of positions, then of the method's analytes
 * @param calibrations one for each probe or each element
 * @param washes what the carrier alone read, where the method has a baseline
 */
public record Reduced(
        Run run,
        Method method,
        List<Determination> determinations,
        List<CalibrationOutcome> calibrations,
        List<Wash> washes) {
    /** A run without a baseline. */
    public Reduced(Run run, Method method, List<Determination> determinations, List<CalibrationOutcome> calibrations) {
        this(run, method, determinations, calibrations, List.of());
    }

    /**
     * The baseline read at one wash position.
     *
     * @param analyte whose detector it is
     * @param signal absorbance
     */
    public record Wash(int position, String analyte, double signal) {}

    public Reduced {
        determinations = List.copyOf(determinations);
        calibrations = List.copyOf(calibrations);
        washes = List.copyOf(washes);
    }

    /**
     * What one calibration was worth.
     *
     * @param channel the probe it belongs to, empty text when it belongs to an element
     * @param analyte what it calibrates
     * @param reasons why it is rejected, empty when accepted
     * @param summary one phrase with its numbers
     * @param limits what the numbers were compared with
     */
    public record CalibrationOutcome(
            String channel, String analyte, List<String> reasons, String summary, String limits) {
        /** Whether it may be used. */
        public boolean accepted() {
            return reasons.isEmpty();
        }
    }
}
