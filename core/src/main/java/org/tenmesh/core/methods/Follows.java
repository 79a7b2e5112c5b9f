package org.tenmesh.core.methods;

/**
 * An analyte that a method calculates from another of its own along a straight line, {@code slope x other + intercept}: the same
 * measurement under another name, known as well as that one.
 *
 * @param symbol of the other
 * @param slope other than 0
 */
public record Follows(String symbol, double slope, double intercept) {
    /** The value that follows from one of the other. */
    public double of(double other) {
        return slope * other + intercept;
    }
}
