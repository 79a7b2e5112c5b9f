package org.tenmesh.core.layout;

import java.util.Optional;

/**
 * A place in a tray: rows A to C, columns 1 to 4, in reading order A1, A2 … C4.
 *
 * @param index 0 to 11, row by row
 */
public record Well(int index) implements Comparable<Well> {
    /** Wells in a tray. */
    public static final int PER_TRAY = 12;

    public Well {
        if (index < 0 || index >= PER_TRAY) {
            throw new IllegalArgumentException("a well's index is 0 to 11, found " + index);
        }
    }

    /** The well written as {@code A1} to {@code C4}, or empty for any other text. */
    public static Optional<Well> of(String text) {
        if (text.length() != 2) {
            return Optional.empty();
        }
        int row = text.charAt(0) - 'A';
        int column = text.charAt(1) - '1';
        return row >= 0 && row < 3 && column >= 0 && column < 4
                ? Optional.of(new Well(row * 4 + column))
                : Optional.empty();
    }

    /** The well that lies here when the tray is turned end for end. */
    public Well turned() {
        return new Well(PER_TRAY - 1 - index);
    }

    @Override
    public int compareTo(Well other) {
        return Integer.compare(index, other.index);
    }

    @Override
    public String toString() {
        return "" + (char) ('A' + index / 4) + (1 + index % 4);
    }
}
