package org.tenmesh.core.methods;

/**
 * A named number of a formula. A laboratory changes it by a new version of the method, never in the formula.
 *
 * @param name as in formulas
 * @param value in {@code unit}
 * @param unit a UCUM code; {@code 1} for a plain number
 * @param source where it comes from
 */
public record Constant(String name, double value, String unit, Source source) {}
