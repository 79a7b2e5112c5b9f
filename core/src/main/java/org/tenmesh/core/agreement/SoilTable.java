package org.tenmesh.core.agreement;

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
        // What more than half are outlasts all others when each is set off against one that differs (Boyer and Moore
        // 1991,
        // MJRTY: a fast majority vote algorithm; from memory).
        double last = Double.NaN;
        int lead = 0;
        for (double value : values) {
            if (lead == 0) {
                last = value;
                lead = 1;
            } else {
                lead += value == last ? 1 : -1;
            }
        }
        int same = 0;
        for (double value : values) {
            same += value == last ? 1 : 0;
        }
        return 2 * same > values.length;
    }

    /** Rows. */
    public int soils() {
        return values.length;
    }
}
