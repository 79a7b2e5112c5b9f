package org.tenmesh.core.reduction;

import org.tenmesh.core.quantity.Amount;

/**
 * What one position of a run says of one analyte, before anything is judged.
 *
 * @param position in the run, 1 or more
 * @param role what the position is there for
 * @param identity a material's or solution's name, or a lab number
 * @param channel which probe, balance or detector; empty text when none
 * @param analyte symbol
 * @param amount in the method's unit for soils, controls and duplicates; in the calibration's unit (pH, mg/L of extract) for
 *     standards, verifications and blanks
 * @param calibrationSe standard error that the calibration brings, same unit; 0 when there is none
 * @param known the known value of a standard or verification under the conditions of the reading, NaN otherwise
 * @param dilution of the reading it came from
 * @param flaw what the reduction itself found wrong
 */
public record Determination(
        int position,
        Role role,
        String identity,
        String channel,
        String analyte,
        Amount amount,
        double calibrationSe,
        double known,
        double dilution,
        Flaw flaw) {}
