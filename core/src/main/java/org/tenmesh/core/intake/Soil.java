package org.tenmesh.core.intake;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;

/**
 * One soil of the day. A hidden control looks the same but belongs to no submission.
 *
 * @param ordinal place on the client's sheet, from 1
 * @param topCm upper edge of the layer, cm below the surface
 * @param bottomCm lower edge of the layer, cm below the surface
 * @param packageName the named set of methods asked for, when it differs from the submission's
 * @param regulated must be kept apart and destroyed with proof; empty when not known
 * @param matter what it is
 */
public record Soil(
        LabNumber labNumber,
        Optional<String> submission,
        OptionalInt ordinal,
        Optional<String> clientLabel,
        OptionalDouble topCm,
        OptionalDouble bottomCm,
        Optional<String> packageName,
        Optional<Boolean> regulated,
        Matter matter) {
    /** A soil. */
    public Soil(
            LabNumber labNumber,
            Optional<String> submission,
            OptionalInt ordinal,
            Optional<String> clientLabel,
            OptionalDouble topCm,
            OptionalDouble bottomCm,
            Optional<String> packageName,
            Optional<Boolean> regulated) {
        this(labNumber, submission, ordinal, clientLabel, topCm, bottomCm, packageName, regulated, Matter.SOIL);
    }

    /** What a lab number stands for. */
    public enum Matter {
        SOIL,
        /** Irrigation water that a client sent for the pastes of its submission. */
        WATER
    }
}
