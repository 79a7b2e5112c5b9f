package org.tenmesh.core.proficiency;

import java.time.LocalDate;
import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Unit;

/**
 * One analyte of one sample of a round, with what this laboratory found.
 *
 * @param round its name, unique among rounds
 * @param date the day the round counts for
 * @param sample the provider's name of the sample
 * @param method by which it was found; only results of like methods are compared
 * @param own this laboratory's values, one or more replicates, in {@code unit}
 * @param ownStandardU standard uncertainty of their mean, same unit; empty when not known
 */
public record RoundResult(
        String round,
        LocalDate date,
        String sample,
        String method,
        String analyte,
        Unit unit,
        Assigned assigned,
        List<Double> own,
        OptionalDouble ownStandardU) {
    public RoundResult {
        own = List.copyOf(own);
        if (own.isEmpty()) {
            throw new IllegalArgumentException("round " + round + ", sample " + sample + ", " + analyte
                    + ": a result has one value or more, found none");
        }
    }

    /** Mean of the replicates. */
    public double value() {
        return own.stream().mapToDouble(Double::doubleValue).average().orElseThrow();
    }

    /** How far the mean lies above the assigned value. */
    public double bias() {
        return value() - assigned.value();
    }
}
