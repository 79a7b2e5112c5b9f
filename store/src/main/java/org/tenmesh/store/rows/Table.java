package org.tenmesh.store.rows;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/**
 * The columns of one table that make a value, said once for both ways: into the table and out of it. Columns that key a row stand
 * before them.
 *
 * @param name with its schema
 * @param columns in the order in which {@code write} and {@code read} take them
 */
public record Table<T>(String name, List<String> columns, Write<T> write, Read<T> read) {
    public Table {
        columns = List.copyOf(columns);
    }

    /** Puts one field for each column. */
    public interface Write<T> {
        void of(T value, CopyRows row);
    }

    /** Takes one field for each column. */
    public interface Read<T> {
        T of(CopiedRows row);
    }

    /** Puts one field for each key column. */
    public interface Keys<T> {
        void of(T value, int index, CopyRows row);
    }

    /** Adds rows by COPY, in the connection's transaction. */
    public void copy(Connection connection, List<String> keyColumns, List<T> values, Keys<T> keys) throws SQLException {
        if (values.isEmpty()) {
            return;
        }
        List<String> all = new ArrayList<>(keyColumns);
        all.addAll(columns);
        try (CopyRows rows = new CopyRows(connection, name + " (" + String.join(", ", all) + ")")) {
            for (int i = 0; i < values.size(); i++) {
                rows.row(all.size());
                keys.of(values.get(i), i, rows);
                write.of(values.get(i), rows);
            }
            rows.end();
        }
    }

    /** The columns of table {@code t}, for a select. */
    public String ofT() {
        return columns.stream().map(column -> "t." + column).collect(Collectors.joining(", "));
    }

    /**
     * The values of the rows of a select.
     *
     * @param rest what follows {@code from schema.table t}: joins, conditions, order; without parameters
     */
    public List<T> values(Connection connection, String rest) throws SQLException {
        return values(connection, "", rest, read);
    }

    /**
     * Values with fields of their own before the columns.
     *
     * @param before expressions, each followed by a comma
     */
    public <U> List<U> values(Connection connection, String before, String rest, Read<U> reader) throws SQLException {
        List<U> values = new ArrayList<>();
        try (CopiedRows rows =
                new CopiedRows(connection, "select " + before + " " + ofT() + " from " + name + " t " + rest)) {
            while (rows.next()) {
                values.add(reader.of(rows));
            }
        }
        return values;
    }
}
