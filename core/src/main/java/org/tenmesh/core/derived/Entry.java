package org.tenmesh.core.derived;

import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.quantity.Amount;

/**
 * What stands for an input.
 *
 * @param from where it was found; null when it is nowhere
 * @param result what was found there; null for the client's sheet and for what stands otherwise
 * @param value in the input's unit, NaN when there is no number
 * @param derived whether the result there was derived
 * @param problem why there is no number; empty text when there is one
 */
record Entry(
        DerivedMethod.Input input,
        DerivedMethod.@Nullable From from,
        @Nullable Result result,
        double value,
        Inputs.Gradient gradient,
        boolean derived,
        String problem) {
    boolean isNotEnoughSoil() {
        return result != null && result.amount() instanceof Amount.NotEnoughSoil;
    }

    boolean isBelow() {
        return result != null && result.amount() instanceof Amount.Below;
    }
}
