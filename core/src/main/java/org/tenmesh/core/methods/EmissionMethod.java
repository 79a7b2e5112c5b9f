package org.tenmesh.core.methods;

import java.util.List;
import java.util.Optional;

/**
 * A calibrated extraction read by plasma emission.
 *
 * @param soilG nominal mass of the scoop, g
 * @param extractMl extractant, mL
 * @param basis whether results are per mass or per volume of soil
 * @param scoopMl volume of the scoop, mL; used on the volume basis
 * @param measuredScoopG mean measured mass of soil in the scoop, g; equals {@code soilG} unless weighed
 * @param diluent what over-range extracts are diluted with; decides which blank is taken off
 * @param subtractBlank whether the mean method blank is taken off
 * @param lines the lines read, one preferred for each element
 * @param internalStandard the line of the internal standard, as written in readings; empty when there is none
 * @param shape of the calibration
 * @param weighting of the standards
 * @param acceptance when a calibration may be used
 * @param verificationTolerancePct allowed difference of a known solution, % of its value
 * @param blankShareOfLimit largest blank, as a share of the reporting limit
 * @param internalStandardMinPct least signal of the internal standard, % of its mean over the calibration
 * @param internalStandardMaxPct largest signal, %
 * @param duplicateLimitPct largest relative difference of two portions, % of their mean
 */
public record EmissionMethod(
        Head head,
        double soilG,
        double extractMl,
        Basis basis,
        double scoopMl,
        double measuredScoopG,
        Diluent diluent,
        boolean subtractBlank,
        List<Line> lines,
        Optional<String> internalStandard,
        Shape shape,
        Weighting weighting,
        Acceptance acceptance,
        double verificationTolerancePct,
        double blankShareOfLimit,
        double internalStandardMinPct,
        double internalStandardMaxPct,
        double duplicateLimitPct)
        implements Method {
    public EmissionMethod {
        lines = List.copyOf(lines);
    }

    /** Results per mass or per volume of soil. */
    public enum Basis {
        MASS,
        VOLUME
    }

    /** What an extract is diluted with. */
    public enum Diluent {
        EXTRACTANT,
        WATER
    }

    /** The curve through the standards. */
    public enum Shape {
        LINE,
        QUADRATIC
    }

    /** Weights of the standards, by their value x; a standard of value 0 takes the weight of the lowest other one. */
    public enum Weighting {
        NONE,
        ONE_OVER_X,
        ONE_OVER_X_SQUARED
    }

    /**
     * A line of an element.
     *
     * @param quantity as written in readings, {@code P 213.618}
     * @param element its symbol
     * @param preferred whether this line gives the result where two of one element are read
     */
    public record Line(String quantity, String element, boolean preferred) {}

    /**
     * When a calibration may be used. Defaults follow US EPA SW-846 method 6010D, July 2018, section 10.7 and 10.8.
     *
     * @param leastR correlation coefficient must exceed this
     * @param mostRsePct relative standard error must stay below this, %
     * @param lowReadbackPct allowed difference of the lowest standard read back, % of its value
     * @param readbackPct allowed difference of every other standard read back, %
     */
    public record Acceptance(double leastR, double mostRsePct, double lowReadbackPct, double readbackPct) {}
}
