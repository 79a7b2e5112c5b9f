package org.tenmesh.core.charts;

import java.util.Arrays;
import org.tenmesh.core.statistics.ChartConstants;
import org.tenmesh.core.statistics.Spread;

/**
 * Centre and standard deviation of a control material, set from a stretch of history and then frozen.
 *
 * @param centre mean of the stretch, in the analyte's unit
 * @param sd standard deviation of single values, same unit
 * @param n values behind both
 * @param procedure how the standard deviation was made
 */
public record ChartLimits(double centre, double sd, int n, Procedure procedure) {
    /** How a standard deviation was made. */
    public enum Procedure {
        /** Mean moving range of two / 1.128379 (Shewhart chart for individuals). */
        MOVING_RANGE,
        /** Mean standard deviation of groups / c4 (chart of means with a chart of standard deviations). */
        WITHIN_GROUPS,
        /** Ordinary standard deviation of all values: between runs and within. */
        ORDINARY
    }

    private static final double D2_OF_TWO = 2 / Math.sqrt(Math.PI);

    public ChartLimits {
        if (!(sd > 0) || n < 2) {
            throw new IllegalArgumentException(
                    "limits need two or more values that differ, found n " + n + ", standard deviation " + sd);
        }
    }

    /**
     * From single values in the order of time, by the mean moving range of two: what moves slowly does not widen the limits.
     *
     * @param values two or more
     */
    public static ChartLimits ofMovingRange(double[] values) {
        double sum = 0;
        for (int i = 1; i < values.length; i++) {
            sum += Math.abs(values[i] - values[i - 1]);
        }
        return new ChartLimits(
                mean(values), sum / (values.length - 1) / D2_OF_TWO, values.length, Procedure.MOVING_RANGE);
    }

    /** From single values by their ordinary standard deviation: what a control soil does from day to day is inside the limits. */
    public static ChartLimits ofAll(double[] values) {
        double mean = mean(values);
        double squares = Arrays.stream(values).map(v -> (v - mean) * (v - mean)).sum();
        return new ChartLimits(mean, Math.sqrt(squares / (values.length - 1)), values.length, Procedure.ORDINARY);
    }

    /**
     * From groups of equal size by the mean of their standard deviations over c4: the spread within groups alone, for charts of means and
     * standard deviations (Montgomery, Introduction to Statistical Quality Control, chapter 6; from memory).
     *
     * @param groups two or more, of two or more values each
     * @throws IllegalArgumentException if their sizes differ
     */
    public static ChartLimits ofGroups(double[][] groups) {
        int size = groups.length == 0 ? 0 : groups[0].length;
        if (Arrays.stream(groups).anyMatch(group -> group.length != size)) {
            throw new IllegalArgumentException("a chart of means needs groups of equal size");
        }
        double[] all = Arrays.stream(groups).flatMapToDouble(Arrays::stream).toArray();
        double meanSd = Arrays.stream(groups)
                .mapToDouble(group -> Spread.of(group).sd())
                .average()
                .orElse(Double.NaN);
        return new ChartLimits(mean(all), meanSd / ChartConstants.of(size).c4(), all.length, Procedure.WITHIN_GROUPS);
    }

    /** The value in standard deviations from the centre. */
    public double z(double value) {
        return (value - centre) / sd;
    }

    /** Limit of the moving range of two: {@code 3.2665} mean ranges. */
    public double upperMovingRange() {
        double meanRange = sd * D2_OF_TWO;
        double sdOfRange = sd * Math.sqrt(2 - 4 / Math.PI);
        return meanRange + 3 * sdOfRange;
    }

    private static double mean(double[] values) {
        return Arrays.stream(values).average().orElse(Double.NaN);
    }
}
