package org.tenmesh.core.reduction;

/** The known values of standards and known solutions of one method. */
@FunctionalInterface
public interface KnownValues {
    /**
     * The value of an analyte in a standard, in the unit it was declared in (pH at 25 °C, mg/L of extract); NaN when none is
     * known.
     */
    double of(String standard, String analyte);
}
