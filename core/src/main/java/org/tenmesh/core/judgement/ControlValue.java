package org.tenmesh.core.judgement;

import java.util.List;

/**
 * What one control soil gave for one analyte. Sealed where the control is hidden.
 *
 * @param identity the material's name for an open control, the lab number for a hidden one
 * @param hidden whether it carried an ordinary lab number
 * @param z (value - mean) / sd
 * @param rules rules broken, by name; empty when it passed
 */
public record ControlValue(
        String run,
        String method,
        int position,
        String identity,
        boolean hidden,
        String material,
        String analyte,
        double value,
        double z,
        List<String> rules) {}
