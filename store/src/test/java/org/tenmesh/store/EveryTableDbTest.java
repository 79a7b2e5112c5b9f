package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Savepoint;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.verified.RecordCheck;

/**
 * Every table that the catalogue of the database names, every column of it: the owner, who can switch all guards off, changes one value of
 * one row, and {@code verify} must find that something differs. A new table is asked about by itself: give it a row in {@link FullStore},
 * and an entry in the journal that vouches for the row.
 */
final class EveryTableDbTest {
    /** What may be changed without a finding, and why. A schema, a table or a column. */
    private static final Map<String, String> EXCEPT = new LinkedHashMap<>();

    static {
        EXCEPT.put("migration", "of the tool that brings the schema up to date: which versions it has applied");
        EXCEPT.put("judgement", "a cache: computed again under the digest of its inputs");
        EXCEPT.put("sealed.control_value", "a cache: computed again under the digest of its inputs");
        EXCEPT.put("people.session", "sign-ins that end by themselves; nothing is signed by them alone");
        EXCEPT.put("people.one_time_token", "links that end by themselves");
        EXCEPT.put("people.failed_sign_in", "counts wrong passwords of the last quarter of an hour");
        EXCEPT.put(
                "programs.token_used", "when a token was used last, which changes with each use and decides nothing");
        EXCEPT.put("people.person.id", "a key that nothing outside the two tables of names knows");
        EXCEPT.put("journal.head.written_at", "compared with the clock, not with the journal");
        EXCEPT.put(".ord", "the place of a row on a list of its day: no number and no decision depends on it");
        EXCEPT.put(".place", "the place of a row in a list that is read as a set");
    }

    /** Its check allows one value alone. */
    private static final String ONE_VALUE = "journal.head.one";

    private static final Path FOLDER = OpenStore.folder("every-table");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @BeforeAll
    static void aFullStore() throws Exception {
        store = OpenStore.open(FOLDER);
        FullStore.fill(store);
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    private record Column(String table, String name, String type, boolean nullable, boolean identity, String checks) {}

    @Test
    void nothingDiffersBefore() {
        RecordCheck check = store.compareWithJournal(says -> {});
        assertThat(check.differences()).isEmpty();
        assertThat(check.unreadable()).isEmpty();
        assertThat(check.notCovered()).isEmpty();
    }

    @Test
    void everyTableHasARowAndEveryChangeOfItIsFound() throws SQLException {
        List<String> missed = new ArrayList<>();
        List<String> empty = new ArrayList<>();
        int changes = 0;
        Map<String, List<Column>> tables = tables();
        assertThat(tables).hasSizeGreaterThan(30);
        for (Map.Entry<String, List<Column>> table : tables.entrySet()) {
            String rows = OpenStore.ask(store, "select count(*) from " + table.getKey());
            if (rows.equals("0")) {
                empty.add(table.getKey());
                continue;
            }
            List<String> ways = new ArrayList<>();
            table.getValue().stream().map(EveryTableDbTest::change).forEach(ways::add);
            ways.add("");
            changes += ways.size();
            try (Connection connection = store.connections().owner();
                    Statement statement = connection.createStatement()) {
                statement.execute("set session_replication_role = replica");
                statement.execute("create temporary table kept as table " + table.getKey());
                connection.setAutoCommit(false);
                for (String way : ways) {
                    found(connection, statement, table.getKey(), way).ifPresent(missed::add);
                }
            }
        }
        assertThat(empty).as("tables without a row in FullStore").isEmpty();
        assertThat(missed)
                .as("changes that verify does not find, of " + changes)
                .isEmpty();
        assertThat(changes).isGreaterThan(200);
    }

    /** The tables that are not excepted, with their columns that are not. */
    private static Map<String, List<Column>> tables() throws SQLException {
        Map<String, List<Column>> tables = new LinkedHashMap<>();
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery("""
                        select n.nspname || '.' || c.relname as "table", a.attname as name, format_type(a.atttypid, null) as type,
                               not a.attnotnull as nullable, a.attidentity <> '' as identity,
                               coalesce((select string_agg(pg_get_constraintdef(k.oid), ' ') from pg_constraint k
                                         where k.conrelid = c.oid and k.contype = 'c' and a.attnum = any (k.conkey)), '') as checks
                        from pg_class c
                        join pg_namespace n on n.oid = c.relnamespace
                        join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
                        where c.relkind in ('r', 'p') and n.nspname not like 'pg\\_%' and n.nspname <> 'information_schema'
                        order by n.nspname, c.relname, a.attnum
                        """)) {
            while (rows.next()) {
                String table = rows.getString("table");
                String name = rows.getString("name");
                if (EXCEPT.containsKey(table.substring(0, table.indexOf('.')))
                        || EXCEPT.containsKey(table)
                        || EXCEPT.containsKey("." + name)
                        || EXCEPT.containsKey(table + "." + name)) {
                    continue;
                }
                tables.computeIfAbsent(table, key -> new ArrayList<>())
                        .add(new Column(
                                table,
                                name,
                                rows.getString("type"),
                                rows.getBoolean("nullable"),
                                rows.getBoolean("identity"),
                                rows.getString("checks")));
            }
        }
        return tables;
    }

    /** Another value of the column's type; several to be tried, where a check of the table may refuse the first. */
    private static String change(Column column) {
        String c = "\"" + column.name() + "\"";
        List<String> ways = new ArrayList<>();
        switch (column.type()) {
            case "text", "character varying" -> {
                Matcher named = Pattern.compile("'([^']*)'::text").matcher(column.checks());
                List<String> words = new ArrayList<>();
                while (named.find()) {
                    words.add(named.group(1));
                }
                ways.add("coalesce(" + c + ", '') || 'x'");
                // The last sign alone: what is compared in part is not compared.
                ways.add("left(" + c + ", -1) || case when right(" + c + ", 1) = 'a' then 'b' else 'a' end");
                words.forEach(word -> ways.add("nullif('" + word + "', " + c + ")"));
                ways.add("split_part(" + c + ", ' ', 1)");
                ways.add("''");
            }
            case "smallint", "integer", "bigint", "double precision", "numeric", "real" -> {
                ways.add("coalesce(" + c + ", 0) + 1");
                ways.add(c + " - 1");
                ways.add(c + " + 1000");
                if (column.identity()) {
                    ways.clear();
                    ways.add("default");
                }
            }
            case "boolean" -> ways.add("not coalesce(" + c + ", false)");
            case "timestamp with time zone" -> ways.add("coalesce(" + c + ", now()) + interval '1 second'");
            case "date" -> ways.add("coalesce(" + c + ", current_date) + 1");
            case "jsonb" -> ways.add("coalesce(" + c + ", '{}') || '{\"changed\": \"1\"}'");
            case "bytea" -> ways.add("coalesce(" + c + ", '') || '\\x00'");
            case "text[]" -> {
                ways.add("coalesce(" + c + ", '{}') || '{changed}'::text[]");
                ways.add("'{changed}'::text[] || " + c + "[2:]");
            }
            case "double precision[]" -> ways.add(c + "[:array_length(" + c + ", 1) - 1] || 77::float8");
            case "integer[]" -> ways.add(c + "[:array_length(" + c + ", 1) - 1] || 77");
            case "bigint[]" -> ways.add(c + "[:array_length(" + c + ", 1) - 1] || 77::bigint");
            default -> throw new IllegalStateException(column + ": say here how to change a value of this type");
        }
        if (column.nullable()) {
            ways.add("null");
        }
        return c + "\t" + String.join("\t", ways);
    }

    /**
     * Changes one row, looks, and puts the rows that were kept back.
     *
     * @param way column and values to try; empty to delete the row
     * @return what was not found
     */
    private static Optional<String> found(Connection connection, Statement statement, String table, String way)
            throws SQLException {
        String[] columnAndValues = way.split("\t");
        String what = way.isEmpty() ? table + ": a row deleted" : table + "." + columnAndValues[0].replace("\"", "");
        if (way.isEmpty()) {
            statement.execute("delete from " + table + row(table, 0));
        } else if (!changed(connection, statement, table, columnAndValues)) {
            connection.rollback();
            return what.equals(ONE_VALUE) ? Optional.empty() : Optional.of(what + ": no other value is accepted");
        }
        connection.commit();
        try {
            return differs() ? Optional.empty() : Optional.of(what);
        } finally {
            statement.execute("delete from " + table);
            statement.execute("insert into " + table + " overriding system value table kept");
            connection.commit();
        }
    }

    /** Whether one of the two that verify asks finds something: the second is not asked where the first does. */
    private static boolean differs() {
        RecordCheck check = store.compareWithJournal(says -> {});
        return !check.differences().isEmpty()
                || !check.unreadable().isEmpty()
                || !store.verifyJournal().whole();
    }

    private static String row(String table, int nth) {
        return " where ctid = (select ctid from " + table + " order by ctid desc offset " + nth + " limit 1)";
    }

    /** The row that becomes the newest by another number; the newest would stay it. */
    private static String oldest(String table) {
        return " where ctid = (select min(ctid) from " + table + ")";
    }

    /** Whether one of the values was accepted in one of the newest rows. */
    private static boolean changed(Connection connection, Statement statement, String table, String[] columnAndValues)
            throws SQLException {
        String column = columnAndValues[0];
        for (int row = 0; row < 4; row++) {
            for (int i = 1; i < columnAndValues.length; i++) {
                String value = columnAndValues[i];
                Savepoint before = connection.setSavepoint();
                try {
                    int rows = statement.executeUpdate("update " + table + " set " + column + " = " + value
                            + (value.equals("default") ? oldest(table) : row(table, row))
                            + (value.equals("default") ? "" : " and " + column + " is distinct from " + value));
                    if (rows == 1) {
                        return true;
                    }
                } catch (SQLException refused) {
                    // By a check or a key of the table: the next value.
                }
                connection.rollback(before);
            }
        }
        return false;
    }
}
