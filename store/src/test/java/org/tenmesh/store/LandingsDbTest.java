package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.exception.FlywayValidateException;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.postgresql.PGConnection;
import org.postgresql.ds.PGSimpleDataSource;
import org.tenmesh.store.server.Connections;
import org.tenmesh.store.server.EmbeddedServer;

/**
 * The schema of every landing, with rows in its tables, is brought up to date by the program and no row of it is lost. Rows are those of {@link
 * FullStore}, in the columns that a table had then; before there was one record ({@link #RECORD}) those of version 0.1. A row that a check of
 * then does not allow is left out, but no table stays empty.
 */
final class LandingsDbTest {
    /** From this migration on a lab number stands in one record; what was before is compared by queries of its own. */
    private static final String RECORD = "20";

    private static final Path FOLDER = OpenStore.folder("landings");

    /** Tables that may have no row of version 0.1, and why. */
    private static final Map<String, String> WITHOUT_ROWS = Map.of(
            "people.session",
            "sign-ins of 0.1 do not say when they were used last, which landings from migration 31 on ask for");

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    @SuppressWarnings("NullAway.Init")
    private static Store full;

    /** A landing, by its commit, with the numbers of the migrations that it had. */
    private record Landing(String commit, List<String> numbers) {
        boolean hasRecord() {
            return numbers.contains(RECORD);
        }

        @Override
        public String toString() {
            return commit + " (" + numbers.size() + " migrations)";
        }
    }

    @BeforeAll
    static void aFullStore() {
        full = OpenStore.open(FOLDER);
        FullStore.fill(full);
    }

    @AfterAll
    static void closeIt() {
        full.close();
        OpenStore.delete(FOLDER);
    }

    /** Those of the list, and what there is now. */
    static Stream<Landing> landings() {
        return Stream.concat(
                lines("landings.txt")
                        .map(line -> line.split(" "))
                        .map(words -> new Landing(words[0], List.of(words).subList(1, words.length))),
                Stream.of(new Landing("newest", List.copyOf(numbers().keySet()))));
    }

    @ParameterizedTest
    @MethodSource("landings")
    void everyRowOfALandingIsFoundAgain(Landing landing) throws Exception {
        try (Database database = Database.create("landing_" + landing.commit())) {
            flyway(database.owner(), files(landing)).migrate();
            try (Connection connection = database.owner().getConnection()) {
                List<String> empty = landing.hasRecord() ? fillFromFullStore(connection) : fillFrom01(connection);
                if (!landing.hasRecord()) {
                    empty.removeAll(WITHOUT_ROWS.keySet());
                }
                assertThat(empty).as("tables without a row").isEmpty();
                keepBefore(connection);
            }

            Connections.bringUpToDate(database.owner());

            try (Connection connection = database.owner().getConnection()) {
                List<String> lost = landing.hasRecord() ? lost(connection) : lostSince01(connection);
                assertThat(lost).isEmpty();
                assertThat(applied(connection))
                        .isEqualTo(new TreeSet<>(numbers().keySet()));
            }
        }
    }

    /** A migration that databases have applied is never edited: the tables would depend on when a database was made. */
    @Test
    void everyMigrationIsTheOneThatLanded() throws Exception {
        Map<String, String> now = new TreeMap<>();
        for (String name : numbers().values()) {
            now.put(
                    name,
                    HexFormat.of()
                            .formatHex(MessageDigest.getInstance("SHA-256").digest(migration(name))));
        }
        Map<String, String> landed = new TreeMap<>();
        lines("migrations.txt").map(line -> line.split("  ")).forEach(words -> landed.put(words[1], words[0]));
        assertThat(now).isEqualTo(landed);
    }

    @Test
    void aDatabaseOfAnEditedMigrationIsRefusedAndNothingOfItChanges() throws Exception {
        Landing landing = landings()
                .filter(one -> one.numbers().contains("63"))
                .findFirst()
                .orElseThrow();
        try (Database database = Database.create("landing_edited")) {
            Path files = files(landing);
            Path edited = files.resolve(numbers().get("63"));
            Files.writeString(edited, Files.readString(edited) + "\ncomment on schema intake is 'edited';\n");
            flyway(database.owner(), files).migrate();
            assertThatThrownBy(() -> Connections.bringUpToDate(database.owner()))
                    .isInstanceOf(FlywayValidateException.class)
                    .hasMessageContaining("checksum mismatch for migration version 63");
            try (Connection connection = database.owner().getConnection()) {
                assertThat(applied(connection)).isEqualTo(new TreeSet<>(landing.numbers()));
            }
        }
    }

    // Databases

    private record Database(String name, PGSimpleDataSource owner) implements AutoCloseable {
        static Database create(String name) throws SQLException {
            OpenStore.run(full, "create database " + name);
            PGSimpleDataSource owner = new PGSimpleDataSource();
            try {
                String url = EmbeddedServer.running(FOLDER).orElseThrow();
                owner.setUrl(url.substring(0, url.lastIndexOf('/') + 1) + name);
                owner.setUser(EmbeddedServer.OWNER);
                owner.setPassword(Files.readString(FOLDER.resolve("secrets").resolve(EmbeddedServer.OWNER))
                        .strip());
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
            return new Database(name, owner);
        }

        @Override
        public void close() throws SQLException {
            OpenStore.run(full, "drop database " + name + " with (force)");
        }
    }

    private static Flyway flyway(PGSimpleDataSource owner, Path files) {
        return Flyway.configure(Connections.class.getClassLoader())
                .dataSource(owner)
                .locations("filesystem:" + files)
                .defaultSchema("migration")
                .createSchemas(true)
                .load();
    }

    private static Set<String> applied(Connection connection) throws SQLException {
        return new TreeSet<>(list(
                connection,
                "select version from migration.flyway_schema_history where version is not null and success"));
    }

    // Migrations

    /** The file of each number. */
    private static Map<String, String> numbers() {
        Map<String, String> numbers = new TreeMap<>();
        lines("migrations.txt")
                .map(line -> line.split("  ")[1])
                .forEach(name -> numbers.put(name.substring(1, name.indexOf("__")), name));
        return numbers;
    }

    private static byte[] migration(String name) throws IOException {
        try (InputStream file = Optional.ofNullable(
                        Connections.class.getResourceAsStream("/org/tenmesh/store/migration/" + name))
                .orElseThrow()) {
            return file.readAllBytes();
        }
    }

    private static Path files(Landing landing) throws IOException {
        Path files = Files.createTempDirectory(temp, landing.commit());
        Map<String, String> numbers = numbers();
        for (String number : landing.numbers()) {
            String name = Optional.ofNullable(numbers.get(number)).orElseThrow();
            Files.write(files.resolve(name), migration(name));
        }
        return files;
    }

    private static Stream<String> lines(String resource) {
        try (InputStream file = Optional.ofNullable(LandingsDbTest.class.getResourceAsStream(resource))
                .orElseThrow()) {
            return new String(file.readAllBytes(), StandardCharsets.UTF_8)
                    .lines().filter(line -> !line.startsWith("#")).toList().stream();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    // Rows

    private static final String TABLES = """
            select n.nspname || '.' || c.relname from pg_class c join pg_namespace n on n.oid = c.relnamespace
            where c.relkind = 'r' and n.nspname not in ('pg_catalog', 'information_schema', 'migration', 'before')
              and n.nspname not like 'pg\\_%' order by 1
            """;

    private static List<String> columns(Connection connection, String table) throws SQLException {
        return list(
                connection,
                "select attname from pg_attribute where attrelid = to_regclass('" + table
                        + "') and attnum > 0 and not attisdropped order by attnum");
    }

    /** @return tables that stayed without a row */
    private static List<String> fillFromFullStore(Connection to) throws SQLException, IOException {
        List<String> empty = new ArrayList<>();
        try (Connection from = full.connections().owner();
                Statement statement = to.createStatement()) {
            statement.execute("set session_replication_role = replica");
            Set<String> known = new TreeSet<>(list(from, TABLES));
            for (String table : list(to, TABLES)) {
                if (!known.contains(table)) {
                    continue;
                }
                List<String> columns = new ArrayList<>(columns(to, table));
                columns.retainAll(columns(from, table));
                ByteArrayOutputStream rows = new ByteArrayOutputStream();
                from.unwrap(PGConnection.class)
                        .getCopyAPI()
                        .copyOut("copy " + table + " (" + named(columns) + ") to stdout", rows);
                if (rows.size() > 0 && in(to, table, columns, rows.toByteArray()) == 0) {
                    empty.add(table);
                }
            }
            statement.execute("set session_replication_role = default");
        }
        return empty;
    }

    /** @return tables that stayed without a row */
    private static List<String> fillFrom01(Connection to) throws SQLException, IOException {
        List<String> empty = new ArrayList<>();
        Map<String, List<String>> then = columnsOf01();
        try (Statement statement = to.createStatement()) {
            statement.execute("set session_replication_role = replica");
            statement.execute("delete from journal.head");
            for (Map.Entry<String, byte[]> one : MigrationDbTest.fixture().entrySet()) {
                String table = one.getKey();
                List<String> columns = then.get(table);
                if (columns == null || columns(to, table).isEmpty() || one.getValue().length == 0) {
                    continue;
                }
                if (in(to, table, columns, one.getValue()) == 0) {
                    empty.add(table);
                }
            }
            for (String line : new String(
                            Optional.ofNullable(MigrationDbTest.fixture().get("sequences"))
                                    .orElseThrow(),
                            StandardCharsets.UTF_8)
                    .split("\n")) {
                String[] nameAndValue = line.split("\t");
                statement.execute("select setval('" + nameAndValue[0] + "', " + nameAndValue[1] + ")");
            }
            statement.execute("set session_replication_role = default");
        }
        return empty;
    }

    /** The columns of each table of version 0.1, in the order in which its rows were written. */
    private static Map<String, List<String>> columnsOf01() throws SQLException, IOException {
        Map<String, List<String>> columns = new LinkedHashMap<>();
        Landing last = landings()
                .filter(one -> one.numbers().get(one.numbers().size() - 1).equals("16"))
                .findFirst()
                .orElseThrow();
        try (Database database = Database.create("landing_columns")) {
            flyway(database.owner(), files(last)).migrate();
            try (Connection connection = database.owner().getConnection()) {
                for (String table : list(connection, TABLES)) {
                    columns.put(table, columns(connection, table));
                }
            }
        }
        return columns;
    }

    /** Copies rows in as they are, those columns of them that the table has; a row that the table does not allow is left out. */
    private static int in(Connection to, String table, List<String> columns, byte[] rows)
            throws SQLException, IOException {
        List<String> has = columns(to, table);
        List<String> both = columns.stream().filter(has::contains).toList();
        try (Statement statement = to.createStatement()) {
            // As text, so that a column that the table does not have yet needs no type.
            statement.execute("drop table if exists staged");
            statement.execute("create temporary table staged ("
                    + String.join(
                            ", ", columns.stream().map(c -> '"' + c + "\" text").toList()) + ")");
            to.unwrap(PGConnection.class).getCopyAPI().copyIn("copy staged from stdin", new ByteArrayInputStream(rows));
            String types = String.join(
                    ", ",
                    list(
                            to,
                            "select 'r.\"' || attname || '\"::' || format_type(atttypid, atttypmod) from pg_attribute where attrelid = '"
                                    + table
                                    + "'::regclass and attnum > 0 and not attisdropped and attname = any (array['"
                                    + String.join("', '", both) + "']) order by array_position(array['"
                                    + String.join("', '", both) + "'], attname::text)"));
            statement.execute(
                    "do $$ declare r record; begin for r in select * from staged loop begin insert into " + table + " ("
                            + named(both) + ") overriding system value select " + types
                            + "; exception when check_violation or unique_violation or not_null_violation then null; end; end loop; end $$");
            try (ResultSet count = statement.executeQuery("select count(*) from " + table)) {
                count.next();
                return count.getInt(1);
            }
        }
    }

    private static String named(List<String> columns) {
        return '"' + String.join("\", \"", columns) + '"';
    }

    private static void keepBefore(Connection connection) throws SQLException {
        try (Statement statement = connection.createStatement()) {
            statement.execute("create schema before");
            for (String table : list(connection, TABLES)) {
                statement.execute("create table before." + table.replace('.', '_') + " as table " + table);
            }
        }
    }

    /** Rows that are not there any more as they were, in the columns that the table still has. */
    private static List<String> lost(Connection connection) throws SQLException {
        List<String> lost = new ArrayList<>();
        for (String table : list(
                connection,
                "select relname from pg_class where relkind = 'r' and relnamespace = 'before'::regnamespace order by 1")) {
            String now = table.replaceFirst("_", ".");
            List<String> columns = new ArrayList<>(columns(connection, "before." + table));
            int had = columns.size();
            columns.retainAll(columns(connection, now));
            if (columns.size() < had) {
                lost.add(now + ": " + (had - columns.size()) + " columns are gone");
            }
            String difference = "select count(*) from (select %1$s from before.%2$s except all select %1$s from %3$s) x"
                    .formatted(named(columns), table, now);
            String rows = list(connection, difference).get(0);
            if (!rows.equals("0")) {
                lost.add(now + ": " + rows + " rows are not as they were");
            }
        }
        return lost;
    }

    /** The same by the queries that say where each thing of version 0.1 stands now. */
    private static List<String> lostSince01(Connection connection) throws SQLException {
        List<String> lost = new ArrayList<>();
        int compared = 0;
        for (String one : MigrationDbTest.OLD_AND_NEW) {
            String[] both = one.split(" \\| ");
            String before = "before." + one.replace('.', '_');
            if (both.length == 1) {
                List<String> columns = columns(connection, before);
                if (columns.isEmpty()) {
                    continue;
                }
                both = new String[] {
                    "select " + named(columns) + " from " + before, "select " + named(columns) + " from " + one
                };
            }
            String difference = "select count(*) from ((%1$s except all %2$s) union all (%2$s except all %1$s)) x"
                    .formatted("(" + both[0] + ")", "(" + both[1] + ")");
            try {
                if (!list(connection, difference).get(0).equals("0")) {
                    lost.add(one);
                }
                compared++;
            } catch (SQLException e) {
                // A table or column that this landing did not have yet.
                if (!Set.of("42P01", "42703").contains(e.getSQLState())) {
                    throw e;
                }
            }
        }
        assertThat(compared).as("queries that fit this landing").isGreaterThan(12);
        return lost;
    }

    private static List<String> list(Connection connection, String sql) throws SQLException {
        List<String> list = new ArrayList<>();
        try (Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(sql)) {
            while (rows.next()) {
                list.add(rows.getString(1));
            }
        }
        return list;
    }
}
