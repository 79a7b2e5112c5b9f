package org.tenmesh.core.agreement;

import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/** What was read of each soil of a table by one method, and what its relations to the other methods predict of it. Nothing in it changes. */
final class Predictions {
    final Assumed assumed;
    final Relations relations;
    final SoilTable table;
    /** Columns of the method. */
    final int[] own;

    final int p;
    /** First and last row of the sequence that each row is in. */
    final int[] sequenceStart;

    final int[] sequenceEnd;
    /** What is known of the soils and vessels beside their values. */
    final Stated stated;

    final @Nullable double[][] knownMean;
    final @Nullable double[][] knownSd;
    final boolean[] nothing;
    /** For each row what is predicted of each of the method's columns; null where nothing is. */
    final @Nullable double[][] predicted;
    /** For each row how many times wider its own part scatters than an ordinary soil's. */
    final double[] ownWidth;
    /** Whether a row has all of the method's columns. */
    final boolean[] readable;

    private final Sequences sequences;
    /** Rows that are spoken of. */
    private final BitSet rows;

    /**
     * What is known of the soils and vessels of a table, beside its values.
     *
     * @param nothing for each row whether a reading was made that no soil gives
     */
    record Stated(KnownControls known, Vessel vessel, boolean[] nothing) {
        Stated with(boolean[] readNothing) {
            return new Stated(known, vessel, readNothing);
        }
    }

    Predictions(
            Assumed assumed, Relations relations, SoilTable table, Sequences sequences, BitSet rows, Stated stated) {
        this(
                assumed,
                relations,
                table,
                sequences,
                rows,
                stated.with(stated.nothing().clone()),
                new double[table.soils()][],
                new double[table.soils()],
                new boolean[table.soils()]);
        for (int row = 0; row < table.soils(); row++) {
            predict(row);
        }
    }

    private Predictions(
            Assumed assumed,
            Relations relations,
            SoilTable table,
            Sequences sequences,
            BitSet rows,
            Stated stated,
            @Nullable double[][] predicted,
            double[] ownWidth,
            boolean[] readable) {
        this.assumed = assumed;
        this.relations = relations;
        this.table = table;
        this.sequences = sequences;
        this.rows = rows;
        this.stated = stated;
        this.predicted = predicted;
        this.ownWidth = ownWidth;
        this.readable = readable;
        own = relations.own();
        p = own.length;
        sequenceStart = sequences.start();
        sequenceEnd = sequences.end();
        knownMean = stated.known().mean();
        knownSd = stated.known().sd();
        nothing = stated.nothing();
    }

    /** The same on another table that holds the same. */
    Predictions on(SoilTable same) {
        return new Predictions(assumed, relations, same, sequences, rows, stated, predicted, ownWidth, readable);
    }

    /** The same relations, on the table with readings moved since. */
    Predictions again(boolean[] readNothing) {
        return new Predictions(assumed, relations, table, sequences, rows, stated.with(readNothing));
    }

    private void predict(int row) {
        double[] values = table.values()[row];
        boolean whole = rows.get(row) && client(row) >= 0;
        for (int column : relations.others()) {
            whole &= Double.isFinite(values[column]);
        }
        boolean read = true;
        for (int column : own) {
            read &= Double.isFinite(values[column]);
        }
        readable[row] = read;
        if (whole && relations.isFitted()) {
            predicted[row] = relations.predicted(values);
            ownWidth[row] = relations.ownWidth(values);
        }
    }

    boolean speaksOf(int row) {
        return rows.get(row);
    }

    int soils() {
        return table.soils();
    }

    int client(int row) {
        return table.client()[row];
    }

    int field(int row) {
        return table.field()[row];
    }

    /** What was read of a row in one of the method's columns, in the table's units. */
    double read(int row, int column) {
        return table.values()[row][own[column]];
    }

    /** Whether a row's soil was read, and something is predicted of it. */
    boolean isPredicted(int row) {
        return knownMean[row] == null && predicted[row] != null && readable[row] && !nothing[row];
    }

    /** The soil before in its sequence: controls belong to no client or field and are skipped. */
    int before(int soil) {
        int row = soil - 1;
        while (row > sequenceStart[soil] && client(row) < 0) {
            row--;
        }
        return row;
    }

    /** How much of a field's part is left at a row of what it was at a row before. */
    double fade(int row, int before) {
        return relations.namesTell() && field(row) != field(before) ? relations.across() : relations.decay();
    }

    /** How likely the reading at a row is under the control soil at another; natural logarithm of a density. */
    double knownDensity(int reading, int control) {
        return KnownControls.logDensity(
                table.values()[reading], own, knownMean[control], knownSd[control], assumed.freedom());
    }

    /** What is left of the reading at a row when it is of a soil, in coordinates, before its neighbours are looked at. */
    double[] offset(int reading, int soil) {
        double[] off = new double[p];
        for (int c = 0; c < p; c++) {
            off[c] = read(reading, c) - predicted[soil][c];
        }
        return Triangular.times(relations.toCoordinates(), off);
    }

    /** How much less would be left of a row's reading, in coordinates, with the values of another row for the other methods' results. */
    double[] changeWith(int row, double[] values) {
        double[] predictedNow = relations.predicted(values);
        double[] change = new double[p];
        for (int c = 0; c < p; c++) {
            change[c] = predicted[row][c] - predictedNow[c];
        }
        return Triangular.times(relations.toCoordinates(), change);
    }
}
