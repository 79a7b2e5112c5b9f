package org.tenmesh.exchange.csv;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Columns of a file that mean nothing to the day and are kept for its export.
 *
 * @param columns their names, in the order of the file
 * @param rows their cells, by the key of the row (its key columns with a line feed between; the row number from 0 for readings)
 */
public record ExtraColumns(List<String> columns, Map<String, List<String>> rows) {
    public ExtraColumns {
        columns = List.copyOf(columns);
        rows = Map.copyOf(rows);
    }

    /** The cells of a row, empty texts when it had none. */
    public List<String> cells(String key) {
        List<String> cells = rows.get(key);
        return cells == null ? java.util.Collections.nCopies(columns.size(), "") : cells;
    }

    public static final class Builder {
        private final List<String> columns;
        private final Map<String, List<String>> rows = new LinkedHashMap<>();

        public Builder(List<String> columns) {
            this.columns = new ArrayList<>(columns);
        }

        public void put(String key, List<String> cells) {
            rows.put(key, cells);
        }

        public ExtraColumns build() {
            return new ExtraColumns(columns, rows);
        }
    }
}
