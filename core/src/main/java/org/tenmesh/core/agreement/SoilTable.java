package org.tenmesh.core.agreement;

import java.util.Arrays;

/**
 * The results of many soils side by side, in the order in which clients sent them.
 *
 * @param values results on a scale on which differences compare (pH as it is, contents as logarithms), one column an analyte; NaN
 *     where there is none
 * @param client for each row a number that the soils of one client share, in unbroken stretches; negative where there is no client
 *     (a control)
 * @param field for each row a number that the soils of one field share, as far as the client's own names tell; only neighbours are
 *     compared
 */
public record SoilTable(double[][] values, int[] client, int[] field) {
    public SoilTable {
        if (values.length != client.length || values.length != field.length) {
            throw new IllegalArgumentException("each of " + values.length + " soils needs a client and a field, found "
                    + client.length + " and " + field.length);
        }
    }

    /** Whether more than half of some values, all finite, are one and the same number: the usable variance of a column is then nothing. */
    public static boolean mostHoldOneValue(double[] values) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        // What more than half are stands in the middle.
        double middle = sorted.length == 0 ? Double.NaN : sorted[sorted.length / 2];
        int same = 0;
        for (double value : sorted) {
            same += value == middle ? 1 : 0;
        }
        return 2 * same > sorted.length;
    }

    /** Rows. */
    public int soils() {
        return values.length;
    }
}
