package org.tenmesh.core.methods;

import java.util.List;
import java.util.OptionalDouble;

/** A calibrated extraction, whatever reads it. */
public sealed interface ExtractionMethod extends Method permits EmissionMethod, FlowMethod {
    /** Ratio, calibration and limits. */
    Extraction extraction();

    /** The signals read, one preferred for each analyte. */
    List<Extraction.Line> lines();

    /** The largest signal the detector can give, in the unit of its readings; a reading there says nothing but "saturated". */
    OptionalDouble saturation();
}
