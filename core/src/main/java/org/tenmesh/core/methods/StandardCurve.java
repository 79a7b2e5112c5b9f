package org.tenmesh.core.methods;

import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;

/**
 * The curve that a method's standards make, as the judge refits it without one of them.
 *
 * @param shape of the curve
 * @param weighting of the standards
 * @param scatter how far signals scatter about it
 * @param labelUnit unit of what a label says, for people: "mg/L", "pH"
 */
public record StandardCurve(Shape shape, Weighting weighting, Scatter scatter, String labelUnit) {
    /** How the scatter of a signal goes with its size. */
    public enum Scatter {
        /** A constant: potentials, of which a label is off by a difference and not by a factor. */
        CONSTANT,
        /** A share of the signal and a constant: absorbance. */
        SHARE_AND_CONSTANT,
        /** A share of the signal and the counting, whose variance goes with the signal: emission. */
        SHARE_AND_COUNTING
    }
}
