package org.tenmesh.exchange.csv;

import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.UnusableFile;

/** Small CSV tables that ship with the program or its checks: UTF-8, a header row, lines that begin with # left out. */
public final class Tables {
    private Tables() {}

    /**
     * A table.
     *
     * @param columns in the order of the file
     */
    public record Table(List<String> columns, List<Row> rows) {
        public Table {
            columns = List.copyOf(columns);
            rows = List.copyOf(rows);
        }
    }

    /**
     * One row.
     *
     * @param line where it stands, from 1
     */
    public record Row(String table, int line, Map<String, String> cells) {
        public Row {
            cells = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(cells));
        }

        /**
         * The cell of a column, empty text when nothing is in it.
         *
         * @throws IllegalArgumentException if there is no such column
         */
        public String text(String column) {
            String cell = cells.get(column);
            if (cell == null) {
                throw new IllegalArgumentException(
                        table + " has no column " + column + ", only " + String.join(", ", cells.keySet()));
            }
            return cell;
        }

        /**
         * The number in a column.
         *
         * @throws IllegalArgumentException if there is no such column or no number in it
         */
        public double number(String column) {
            OptionalDouble value = optionalNumber(column);
            if (value.isEmpty()) {
                throw new IllegalArgumentException(table + ", line " + line + ", " + column + ": found "
                        + Problem.quoted(text(column)) + ", expected a number");
            }
            return value.getAsDouble();
        }

        /**
         * The number in a column, empty when the cell is empty.
         *
         * @throws IllegalArgumentException if there is no such column or something else than a number in it
         */
        public OptionalDouble optionalNumber(String column) {
            String cell = text(column).strip();
            OptionalDouble value = Numbers.parse(cell);
            if (value.isEmpty() && !cell.isEmpty()) {
                throw new IllegalArgumentException(table + ", line " + line + ", " + column + ": found "
                        + Problem.quoted(cell) + ", expected a number");
            }
            return value;
        }
    }

    /**
     * Reads a table.
     *
     * @param name for messages
     * @throws UnusableFile if it is not a CSV table in UTF-8
     */
    public static Table read(InputStream in, String name) throws IOException {
        FileProblems problems = new FileProblems(name, "Nothing of this table is taken");
        List<Row> rows = new ArrayList<>();
        List<String> columns = new ArrayList<>();
        TextFile.decode(in.readAllBytes(), name, problems.told(), problems.consequence())
                .map(Tables::withoutRemarks)
                .flatMap(text -> CsvFile.open(text, List.of(), problems))
                .ifPresent(csv -> {
                    columns.addAll(csv.header());
                    csv.forEach(row -> {
                        Map<String, String> cells = new LinkedHashMap<>();
                        for (String column : columns) {
                            cells.put(column, row.cell(column));
                        }
                        rows.add(new Row(name, row.line(), cells));
                    });
                });
        if (!problems.none()) {
            throw new UnusableFile(problems.all());
        }
        return new Table(columns, rows);
    }

    // Emptied, not removed: the lines keep their numbers.
    private static String withoutRemarks(String text) {
        return text.startsWith("#") || text.contains("\n#") ? text.replaceAll("(?m)^#.*$", "") : text;
    }
}
