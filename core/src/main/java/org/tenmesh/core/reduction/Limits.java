package org.tenmesh.core.reduction;

import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Amount;

/** Where a number stops being one. */
final class Limits {
    private Limits() {}

    /** The number, or "below" when it lies under the reporting limit times the dilution. */
    static Amount amount(double value, Analyte analyte, double dilution) {
        double limit = analyte.reportingLimit().orElse(Double.NEGATIVE_INFINITY) * dilution;
        return value < limit
                ? new Amount.Below(limit, value, analyte.unit())
                : new Amount.Measured(value, analyte.unit());
    }
}
