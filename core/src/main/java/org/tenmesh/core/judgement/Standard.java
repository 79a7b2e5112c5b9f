package org.tenmesh.core.judgement;

import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Unit;

/**
 * A known value: of a calibration standard or of whatever is judged against one.
 *
 * @param tolerance allowed absolute difference, in {@code unit}; empty = the method's default
 * @param tolerancePct allowed difference, % of value; empty = the method's default
 */
public record Standard(
        String method,
        String standard,
        String analyte,
        double value,
        Unit unit,
        OptionalDouble tolerance,
        OptionalDouble tolerancePct) {}
