package org.tenmesh.core.quantity;

import java.util.OptionalDouble;

/** How well an amount is known. That an uncertainty cannot be stated is a case of the type, never the number 0. */
public sealed interface Uncertainty {

    /**
     * An expanded uncertainty, 95.45 % coverage: coverage factor 2, larger where it rests on few degrees of freedom.
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

    /** A calculated number none of whose inputs has a stated uncertainty, such as one from the client's sheet alone. */
    record NotStated() implements Uncertainty {}

    /** There is no number that could have one: a limit, a class, a word. */
    record NoNumber() implements Uncertainty {}

    /** What is printed for {@link NotStated} where there is room for it. */
    String NOT_STATED = "not stated";

    /** Below this share of the number a propagated contribution is noise of floating-point subtraction. */
    double NOISE = 1e-9;

    /**
     * The expanded uncertainty of a calculated number from measured inputs: what was propagated, and at least one unit of the last reported
     * place. At an end of a scale (base saturation 100 %, acidity 0) propagation may give 0; a number is known no better than it is
     * written (JCGM 100:2008, F.2.2.1 on the resolution of an indication).
     *
     * @param expanded as propagated, in the unit of the number
     * @param rounding of the number
     */
    static double calculated(double expanded, Rounding rounding) {
        return expanded > NOISE * rounding.lastPlace() ? expanded : rounding.lastPlace();
    }

    /** The uncertainty of a result: a number without an expanded uncertainty is one of which none is stated. */
    static Uncertainty of(Amount amount, OptionalDouble expanded) {
        if (!(amount instanceof Amount.Measured)) {
            return new NoNumber();
        }
        return expanded.isPresent() && expanded.getAsDouble() > 0
                ? new Expanded(expanded.getAsDouble())
                : new NotStated();
    }
}
