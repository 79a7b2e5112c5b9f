package org.tenmesh.exchange.day;

import java.util.List;

/** The columns of a file of readings. */
public final class ReadingsColumns {
    static final List<String> REQUIRED = List.of("position", "role", "identity", "quantity", "value", "unit", "at");
    static final List<String> ALL =
            List.of("position", "role", "identity", "channel", "quantity", "value", "unit", "at", "dilution");
    /** Largest position; keeps a slip of the key from asking for a huge table. */
    public static final int MOST_POSITIONS = 1_000_000;

    private ReadingsColumns() {}
}
