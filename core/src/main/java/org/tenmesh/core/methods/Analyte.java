package org.tenmesh.core.methods;

import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

/**
 * One quantity a method reports.
 *
 * @param symbol as in files: {@code pH}, {@code OM}, {@code P}
 * @param name for people: "phosphorus"
 * @param unit of the result
 * @param rounding decimals on the report
 * @param reportingLimit smallest number stated as such, in {@code unit}; below it the result is "&lt; limit"
 * @param upperLimit largest number the method may state undiluted, in {@code unit}; empty when the calibration decides
 * @param withinRsdPct published or own within-laboratory standard deviation, % of the value (one SD)
 * @param withinFloor within-laboratory standard deviation near zero, in {@code unit} (one SD)
 * @param scaleLow left end of the plain scale on pages and reports, in {@code unit}
 * @param scaleHigh right end of that scale, in {@code unit}
 * @param detectionLimit smallest amount told from nothing, in {@code unit}; at most the quantification limit
 * @param quantificationLimit smallest amount stated with a useful uncertainty, in {@code unit}; at most the reporting limit
 * @param limitsFrom how the limits were made; may be empty
 */
public record Analyte(
        String symbol,
        String name,
        Unit unit,
        Rounding rounding,
        OptionalDouble reportingLimit,
        OptionalDouble upperLimit,
        double withinRsdPct,
        double withinFloor,
        double scaleLow,
        double scaleHigh,
        OptionalDouble detectionLimit,
        OptionalDouble quantificationLimit,
        String limitsFrom) {

    /** An analyte of which only the reporting limit is stated. */
    public Analyte(
            String symbol,
            String name,
            Unit unit,
            Rounding rounding,
            OptionalDouble reportingLimit,
            OptionalDouble upperLimit,
            double withinRsdPct,
            double withinFloor,
            double scaleLow,
            double scaleHigh) {
        this(
                symbol,
                name,
                unit,
                rounding,
                reportingLimit,
                upperLimit,
                withinRsdPct,
                withinFloor,
                scaleLow,
                scaleHigh,
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                "");
    }

    /** What two portions that hold nearly nothing may differ by, in {@code unit}: four standard deviations of a difference. */
    public double scatterNearZero() {
        return 4 * Math.sqrt(2) * withinFloor;
    }

    /** Within-laboratory standard deviation expected at a value: root of the squares of floor and share. */
    public double withinSd(double value) {
        double share = withinRsdPct / 100 * value;
        return Math.sqrt(withinFloor * withinFloor + share * share);
    }
}
