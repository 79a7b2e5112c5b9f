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
 * @param amount in the method's unit
 * @param calibrationSe standard error that the calibration brings, same unit; 0 when there is none
 * @param dilution of the reading it came from
 */
public record Determination(
        int position,
        Role role,
        String identity,
        String channel,
        String analyte,
        Amount amount,
        double calibrationSe,
        double dilution) {}
