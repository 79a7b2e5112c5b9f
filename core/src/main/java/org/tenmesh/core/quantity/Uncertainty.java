package org.tenmesh.core.quantity;

import java.util.OptionalDouble;

/** How well an amount is known. That an uncertainty cannot be stated is a case of the type, never the number 0. */
public sealed interface Uncertainty {

    /**
     * An expanded uncertainty, coverage factor k = 2.
     *
     * @param value in the unit of the amount; above 0
     */
    record Expanded(double value) implements Uncertainty {
        public Expanded {
            if (!(value > 0) || !Double.isFinite(value)) {
                throw new IllegalArgumentException(
                        "an expanded uncertainty must be finite and above 0, found " + value);
            }
        }
    }

    /**
     * A calculated number that was limited to the end of what is possible (base saturation 100 %, acidity 0): first-order propagation
     * gives 0 or rounding noise there and says nothing about how far the true value lies from the end.
     */
    record NotStatedAtEnd() implements Uncertainty {}

    /** There is no number that could have one: a limit, a class, a word. */
    record NoNumber() implements Uncertainty {}

    /** What is printed for {@link NotStatedAtEnd} where there is room for it. */
    String NOT_STATED_AT_END = "not stated at the end of the scale";

    /** Below this share of a unit in the last reported place a propagated number is noise of floating-point subtraction. */
    double NOISE = 1e-9;

    /**
     * The propagated uncertainty of a calculated number; empty when it is 0 or nothing but floating-point noise, which is what first-order
     * propagation gives at the end of a scale.
     *
     * @param expanded in the unit of the number
     * @param rounding of the number
     */
    static OptionalDouble propagated(double expanded, Rounding rounding) {
        return expanded > NOISE * rounding.lastPlace() ? OptionalDouble.of(expanded) : OptionalDouble.empty();
    }

    /** The uncertainty of a result: a number without an expanded uncertainty is one at the end of its scale. */
    static Uncertainty of(Amount amount, OptionalDouble expanded) {
        if (!(amount instanceof Amount.Measured)) {
            return new NoNumber();
        }
        return expanded.isPresent() && expanded.getAsDouble() > 0
                ? new Expanded(expanded.getAsDouble())
                : new NotStatedAtEnd();
    }
}
