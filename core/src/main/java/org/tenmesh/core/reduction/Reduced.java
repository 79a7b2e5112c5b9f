package org.tenmesh.core.reduction;

import java.util.List;
import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Method;

/**
 * A run reduced: every determination of every position, and what its calibrations were worth.
 *
 * @param determinations in the order of positions, then of the method's analytes
 * @param calibrations one for each probe or each element
 * @param washes what the carrier alone read, where the method has a baseline
 * @param overlaps soils whose line other elements add to so much, or by so unknown an amount, that the rest is not trusted
 */
public record Reduced(
        Run run,
        Method method,
        List<Determination> determinations,
        List<CalibrationOutcome> calibrations,
        List<Wash> washes,
        List<Overlap> overlaps) {
    /** A run without a baseline and without overlapping lines. */
    public Reduced(Run run, Method method, List<Determination> determinations, List<CalibrationOutcome> calibrations) {
        this(run, method, determinations, calibrations, List.of(), List.of());
    }

    /**
     * The baseline read at one wash position.
     *
     * @param analyte whose detector it is
     * @param signal absorbance
     */
    public record Wash(int position, String analyte, double signal) {}

    /**
     * What other elements add to one line at one position.
     *
     * @param line as written in readings
     * @param from symbols of the elements that add
     * @param readMgPerL apparent concentration, mg/L
     * @param addedMgPerL what they add of it, mg/L; NaN when one of them has no concentration there
     */
    public record Overlap(
            int position, String analyte, String line, String from, double readMgPerL, double addedMgPerL) {}

    public Reduced {
        determinations = List.copyOf(determinations);
        calibrations = List.copyOf(calibrations);
        washes = List.copyOf(washes);
        overlaps = List.copyOf(overlaps);
    }

    /**
     * Degrees of freedom of the calibration that a determination was read from: its points less the parameters of its curve.
     *
     * @return infinite where no curve was fitted
     */
    public double calibrationDegrees(Determination d) {
        int parameters = method.standardCurve()
                .map(curve -> curve.shape() == Extraction.Shape.LINE ? 2 : 3)
                .orElse(0);
        for (CalibrationOutcome one : calibrations) {
            if (parameters > 0
                    && one.analyte().equals(d.analyte())
                    && (one.channel().isEmpty() || one.channel().equals(d.channel()))) {
                return Math.max(1, one.points().size() - parameters);
            }
        }
        return Double.POSITIVE_INFINITY;
    }

    /**
     * What one calibration was worth.
     *
     * @param channel the probe it belongs to, empty text when it belongs to an element
     * @param analyte what it calibrates
     * @param reasons why it is rejected, empty when accepted
     * @param summary one phrase with its numbers
     * @param limits what the numbers were compared with
     * @param points what the curve was made from, in the order read; empty where one standard alone makes the calibration
     * @param broken what it gave beside what it had to give, where a number rejects it
     */
    public record CalibrationOutcome(
            String channel,
            String analyte,
            List<String> reasons,
            String summary,
            String limits,
            List<Point> points,
            List<CalibrationJudgement.Broken> broken) {
        /** A calibration of which no points are told. */
        public CalibrationOutcome(String channel, String analyte, List<String> reasons, String summary, String limits) {
            this(channel, analyte, reasons, summary, limits, List.of(), List.of());
        }

        public CalibrationOutcome {
            reasons = List.copyOf(reasons);
            points = List.copyOf(points);
            broken = List.copyOf(broken);
        }

        /**
         * One standard as it went into a calibration.
         *
         * @param position where it was read
         * @param standard its name
         * @param value what its label says, mg/L or pH at the temperature of the reading
         * @param signal what was read: a corrected signal, or mV
         */
        public record Point(int position, String standard, double value, double signal) {}

        /** Whether it may be used. */
        public boolean accepted() {
            return reasons.isEmpty();
        }
    }
}
