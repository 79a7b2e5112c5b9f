package org.tenmesh.core.reduction;

import java.util.Arrays;

/** The readings of a run as a table: one row a position, one column a quantity; repeats are averaged. */
final class Grid {
    final int rows;
    final int[] position;
    final Role[] role;
    final String[] identity;
    final String[] channel;
    final double[] dilution;
    private final int columns;
    private final double[] sum;
    private final int[] count;

    private Grid(int rows, int columns) {
        this.rows = rows;
        this.columns = columns;
        position = new int[rows];
        role = new Role[rows];
        identity = new String[rows];
        channel = new String[rows];
        dilution = new double[rows];
        sum = new double[rows * columns];
        count = new int[rows * columns];
    }

    /** The mean of the repeats of a quantity, NaN when it was not read; {@code column} may be -1. */
    double value(int row, int column) {
        if (column < 0) {
            return Double.NaN;
        }
        int cell = row * columns + column;
        return count[cell] == 0 ? Double.NaN : sum[cell] / count[cell];
    }

    static Grid of(Readings readings) {
        int[] distinct = distinctPositions(readings);
        Grid grid = new Grid(distinct.length, readings.quantities().size());
        System.arraycopy(distinct, 0, grid.position, 0, distinct.length);
        int row = 0;
        for (int i = 0; i < readings.size(); i++) {
            int position = readings.position(i);
            if (distinct[row] != position) {
                row = row + 1 < distinct.length && distinct[row + 1] == position
                        ? row + 1
                        : Arrays.binarySearch(distinct, position);
            }
            if (grid.identity[row] == null) {
                grid.role[row] = readings.role(i);
                grid.identity[row] = readings.identity(i);
                grid.channel[row] = readings.channel(i);
                grid.dilution[row] = readings.dilution(i);
            }
            int cell = row * grid.columns + readings.quantityCode(i);
            grid.sum[cell] += readings.value(i);
            grid.count[cell]++;
        }
        return grid;
    }

    private static int[] distinctPositions(Readings readings) {
        int[] all = new int[readings.size()];
        boolean rising = true;
        int n = 0;
        for (int i = 0; i < all.length; i++) {
            int position = readings.position(i);
            if (n > 0 && all[n - 1] == position) {
                continue;
            }
            rising &= n == 0 || all[n - 1] < position;
            all[n++] = position;
        }
        return rising
                ? Arrays.copyOf(all, n)
                : Arrays.stream(all, 0, n).sorted().distinct().toArray();
    }
}
