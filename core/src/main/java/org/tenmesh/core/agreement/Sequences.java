package org.tenmesh.core.agreement;

/**
 * The sequences of a table: soils of one client that follow each other. Controls lie between them and do not break one.
 *
 * @param start for each row the first row of its sequence
 * @param end for each row the last row of its sequence
 */
record Sequences(int[] start, int[] end) {
    static Sequences of(SoilTable table) {
        int n = table.soils();
        int[] sequenceStart = new int[n];
        int[] sequenceEnd = new int[n];
        int start = 0;
        for (int i = 0; i < n; i++) {
            if (table.client()[i] >= 0 && table.client()[start] >= 0 && table.client()[i] != table.client()[start]) {
                start = i;
            }
            if (table.client()[start] < 0) {
                start = i;
            }
            sequenceStart[i] = start;
        }
        for (int i = n - 1; i >= 0; i--) {
            sequenceEnd[i] = i + 1 < n && sequenceStart[i + 1] == sequenceStart[i] ? sequenceEnd[i + 1] : i;
        }
        return new Sequences(sequenceStart, sequenceEnd);
    }
}
