package org.tenmesh.core.methods;

import java.util.List;

/**
 * Results reckoned straight from what was read at one position: weighings, titrations, hydrometers. For every quantity {@code q} a
 * formula may also use {@code blank_q}, its mean over the run's blanks, and {@code standard_q}, its mean over the run's standards.
 *
 * @param quantities what is read at a position
 * @param constants named numbers with their units
 * @param results one for each analyte that is reported, in an order in which each uses only earlier ones
 * @param duplicateLimitPct largest difference of two portions, % of their mean
 * @param duplicateFloor largest difference always allowed, in the analyte's unit
 */
public record FormulaMethod(
        Head head,
        List<Quantity> quantities,
        List<Constant> constants,
        List<Computed> results,
        double duplicateLimitPct,
        double duplicateFloor)
        implements Method {
    public FormulaMethod {
        quantities = List.copyOf(quantities);
        constants = List.copyOf(constants);
        results = List.copyOf(results);
    }

    /**
     * A quantity read at a position.
     *
     * @param name as written in readings and in formulas
     * @param description for people: "tin with air-dry soil"
     * @param unit of the reading, a UCUM code
     * @param lowest smallest value that is possible
     * @param highest largest value that is possible
     */
    public record Quantity(String name, String description, String unit, double lowest, double highest) {}
}
