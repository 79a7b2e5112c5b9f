package org.tenmesh.store.rows;

import java.sql.Array;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;

/**
 * Statements that go to the database together and are answered together: one wait for all of them. Each sees what those before it did. Not for
 * use by several threads.
 */
public final class OneTrip {
    private final List<String> statements = new ArrayList<>();
    private final List<@Nullable Object> values = new ArrayList<>();
    private final List<Reader> readers = new ArrayList<>();

    /** Is given each row of an answer. */
    public interface Reader {
        void of(ResultSet row) throws SQLException;
    }

    /** A list as one parameter of a type of the database, such as {@code text}. */
    private record Many(String type, Object[] values) {}

    public static Object texts(List<String> values) {
        return new Many("text", values.toArray());
    }

    public static Object integers(List<Integer> values) {
        return new Many("int4", values.toArray());
    }

    public static Object longs(List<Long> values) {
        return new Many("int8", values.toArray());
    }

    public static Object numbers(List<Double> values) {
        return new Many("float8", values.toArray());
    }

    public static Object bools(List<Boolean> values) {
        return new Many("bool", values.toArray());
    }

    /**
     * Adds a statement whose rows, if it has any, are not wanted.
     *
     * @param parameters one for each question mark
     */
    public OneTrip add(String statement, @Nullable Object... parameters) {
        return ask(row -> {}, statement, parameters);
    }

    /** Adds a statement whose rows are wanted. */
    public OneTrip ask(Reader reader, String statement, @Nullable Object... parameters) {
        statements.add(statement.strip());
        readers.add(reader);
        for (Object parameter : parameters) {
            values.add(parameter);
        }
        return this;
    }

    /** Sends everything inside the handle's transaction, and hands the rows over in the order of the statements. */
    public void send(Handle handle) throws SQLException {
        if (statements.isEmpty()) {
            return;
        }
        Connection connection = handle.getConnection();
        try (PreparedStatement all = connection.prepareStatement(String.join(";\n", statements))) {
            for (int i = 0; i < values.size(); i++) {
                Object value = values.get(i);
                if (value instanceof Many many) {
                    Array array = connection.createArrayOf(many.type(), many.values());
                    all.setArray(i + 1, array);
                } else {
                    all.setObject(i + 1, value);
                }
            }
            boolean rows = all.execute();
            for (Reader reader : readers) {
                if (rows) {
                    try (ResultSet row = all.getResultSet()) {
                        while (row.next()) {
                            reader.of(row);
                        }
                    }
                }
                rows = all.getMoreResults();
            }
        }
        statements.clear();
        values.clear();
        readers.clear();
    }
}
