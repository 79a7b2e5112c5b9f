package org.tenmesh.core.reduction;

import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Amount;

/** Where a number stops being one. */
final class Limits {
    private Limits() {}

    /** The number, or "below" when it lies under the reporting limit times the dilution. */
    static Amount amount(double value, Analyte analyte, double dilution) {
        return amount(value, analyte, dilution, Double.NEGATIVE_INFINITY);
    }

    /**
     * The same, with a mark on a number that is below everything that calibrates it.
     *
     * @param lowestStandard what the lowest standard amounts to, in the analyte's unit
     */
    static Amount amount(double value, Analyte analyte, double dilution, double lowestStandard) {
        double limit = analyte.reportingLimit().orElse(Double.NEGATIVE_INFINITY) * dilution;
        return value < limit
                ? new Amount.Below(limit, value, analyte.unit())
                : new Amount.Measured(value, analyte.unit(), value < lowestStandard ? lowestStandard : Double.NaN);
    }
}
