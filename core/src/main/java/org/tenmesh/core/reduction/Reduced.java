package org.tenmesh.core.reduction;

import java.util.List;
import org.tenmesh.core.methods.Method;

/**
 * A run reduced: every determination of every position, and what its calibrations were worth.
 *
 * @param determinations in the order of positions, then of the method's analytes
 * @param calibrations one for each probe or each element
 */
public record Reduced(
        Run run, Method method, List<Determination> determinations, List<CalibrationOutcome> calibrations) {
    public Reduced {
        determinations = List.copyOf(determinations);
        calibrations = List.copyOf(calibrations);
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
