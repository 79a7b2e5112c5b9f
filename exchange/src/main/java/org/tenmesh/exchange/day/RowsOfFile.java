package org.tenmesh.exchange.day;

import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Where the rows of one file of a day folder ended: each in exactly one place.
 *
 * @param file its name in the folder
 * @param read rows counted in the file, header and empty lines left out
 * @param used rows that the day rests on; of readings those that were handed to the judge
 * @param notNeeded rows of a list that may say more than a day needs, such as standards of a method without a run
 * @param aside rows that were used for nothing, by reason
 */
public record RowsOfFile(String file, int read, int used, int notNeeded, Map<String, Integer> aside) {
    public RowsOfFile {
        aside = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(aside));
    }

    /** How many were set aside. */
    public int setAside() {
        return aside.values().stream().mapToInt(Integer::intValue).sum();
    }

    /** Whether every row that was counted in the file is in one place. */
    public boolean addsUp() {
        return read == used + notNeeded + setAside();
    }
}
