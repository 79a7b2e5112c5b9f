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
 */
public record Soil(
        LabNumber labNumber,
        Optional<String> submission,
        OptionalInt ordinal,
        Optional<String> clientLabel,
        OptionalDouble topCm,
        OptionalDouble bottomCm,
        Optional<String> packageName,
        Optional<Boolean> regulated) {}
