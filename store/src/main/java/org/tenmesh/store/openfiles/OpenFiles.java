package org.tenmesh.store.openfiles;

import java.io.BufferedOutputStream;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.DigestOutputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Jdbi;
import org.postgresql.PGConnection;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.rows.Json;

/**
 * Writes everything that is stored as open files: a CSV file a table (RFC 4180, UTF-8), the journal as text lines whose chain a dozen lines
 * of any language compute again, what came and what left as the files that they are, and a page that explains each column. All of one
 * moment. The tables are those that the catalogue of the database names, so none can be forgotten.
 */
public final class OpenFiles {
    /** The word for the entry that the journal gets. */
    public static final String EXPORTED = "record-exported";

    private static final String SEALED = "sealed";
    /** Left out, with the reason that the page gives. */
    static final Map<String, String> LEFT_OUT = Map.of(
            "people.session", "sign-ins of the moment",
            "people.one_time_token", "links of the moment",
            "people.failed_sign_in", "wrong passwords of the last quarter of an hour",
            "migration.flyway_schema_history", "of the tool that changes the tables");

    private static final String TABLES = """
            select n.nspname as schema, c.relname as name, a.attname as column_name, format_type(a.atttypid, null) as type,
                   a.attnotnull as required,
                   coalesce((select string_agg(quote_ident(k.attname), ', ' order by o.ord)
                             from pg_index i, unnest(i.indkey) with ordinality o (attnum, ord), pg_attribute k
                             where i.indrelid = c.oid and i.indisprimary and k.attrelid = c.oid and k.attnum = o.attnum), '') as key
            from pg_class c
            join pg_namespace n on n.oid = c.relnamespace
            join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
            where c.relkind in ('r', 'p') and n.nspname not like 'pg\\_%' and n.nspname <> 'information_schema'
            order by 1, 2, a.attnum
            """;

    /**
     * What was written.
     *
     * @param rows by table
     * @param files of what came and what left
     */
    public record Written(Map<String, Long> rows, int files, long entries, String head) {
        public Written {
            rows = Map.copyOf(rows);
        }
    }

    private final Connection connection;
    private final Path out;
    private final Map<String, String> digests = new TreeMap<>();
    private int files;

    private OpenFiles(Connection connection, Path out) {
        this.connection = connection;
        this.out = out;
    }

    /**
     * Writes the record into a new or empty folder.
     *
     * @param owner a connection of the owner of the schemas, closed by the caller
     * @param sealed whether the key of the hidden controls is written too; such a folder is for quality alone
     * @param actor who asked for it; an entry in the journal says so
     */
    public static Written write(
            Connection owner, Path out, boolean sealed, String actor, Instant at, Consumer<String> says)
            throws IOException, SQLException {
        new Journal(Jdbi.create(owner))
                .note(at, actor, EXPORTED, "record", Json.object("sealed", sealed ? "yes" : "no"));
        owner.setAutoCommit(false);
        try (Statement statement = owner.createStatement()) {
            statement.execute("set transaction isolation level repeatable read, read only");
            statement.execute("set local timezone = 'UTC'");
            statement.execute("set local datestyle = 'ISO'");
            return new OpenFiles(owner, out).write(sealed, at, says);
        } finally {
            owner.rollback();
            owner.setAutoCommit(true);
        }
    }

    private Written write(boolean sealed, Instant at, Consumer<String> says) throws IOException, SQLException {
        Files.createDirectories(out);
        Map<String, Long> rows = new LinkedHashMap<>();
        List<Table> tables = tables(connection).stream()
                .filter(table -> sealed || !table.schema().equals(SEALED))
                .toList();
        for (Table table : tables) {
            says.accept("Writing " + table.full());
            rows.put(table.full(), table(table));
        }
        says.accept("Writing the journal");
        JournalEntry last = journal();
        Files.writeString(out.resolve("README.md"), new Explained(tables, rows, sealed).page(at, last.sha256()));
        try (BufferedWriter list = Files.newBufferedWriter(out.resolve("digests.txt"))) {
            for (Map.Entry<String, String> one : digests.entrySet()) {
                list.write(one.getValue() + "  " + one.getKey() + "\n");
            }
        }
        return new Written(rows, files, last.seq(), last.sha256());
    }

    /** The tables that are written. */
    static List<Table> tables(Connection connection) throws SQLException {
        Map<String, Table> tables = new LinkedHashMap<>();
        try (Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(TABLES)) {
            while (rows.next()) {
                String schema = rows.getString("schema");
                String name = rows.getString("name");
                if (!LEFT_OUT.containsKey(schema + "." + name)) {
                    Table table = tables.computeIfAbsent(
                            schema + "." + name, full -> new Table(schema, name, new ArrayList<>(), key(rows)));
                    table.columns()
                            .add(new Table.Column(
                                    rows.getString("column_name"),
                                    rows.getString("type"),
                                    rows.getBoolean("required")));
                }
            }
        }
        return List.copyOf(tables.values());
    }

    private static String key(ResultSet rows) {
        try {
            return rows.getString("key");
        } catch (SQLException e) {
            throw new IllegalStateException(e);
        }
    }

    private long table(Table table) throws IOException, SQLException {
        String columns = table.columns().stream()
                .map(column -> {
                    String quoted = "\"" + column.name() + "\"";
                    if (column.bytes()) {
                        return "encode(sha256(" + quoted + "), 'hex') as " + quoted;
                    }
                    return column.secret()
                            ? "case when " + quoted + " = '' then '' else encode(sha256(convert_to(" + quoted
                                    + ", 'UTF8')), 'hex') end as " + quoted
                            : quoted;
                })
                .collect(Collectors.joining(", "));
        String select = "select " + columns + " from " + table.full()
                + (table.key().isEmpty() ? "" : " order by " + table.key());
        long rows;
        try (OutputStream file = file(table.file())) {
            rows = connection
                    .unwrap(PGConnection.class)
                    .getCopyAPI()
                    .copyOut("copy (" + select + ") to stdout with (format csv, header, encoding 'UTF8')", file);
        }
        for (Table.Column column : table.columns()) {
            if (column.bytes()) {
                bytes(table, column);
            }
        }
        return rows;
    }

    private void bytes(Table table, Table.Column column) throws IOException, SQLException {
        try (Statement statement = connection.createStatement()) {
            statement.setFetchSize(1);
            try (ResultSet rows = statement.executeQuery("select \"" + column.name() + "\" from " + table.full())) {
                while (rows.next()) {
                    byte[] bytes = rows.getBytes(1);
                    String name = "files/" + HexFormat.of().formatHex(digest().digest(bytes)) + "." + ending(bytes);
                    if (!Files.exists(out.resolve(name))) {
                        try (OutputStream file = file(name)) {
                            file.write(bytes);
                        }
                        files++;
                    }
                }
            }
        }
    }

    private static String ending(byte[] bytes) {
        String begin = new String(bytes, 0, Math.min(4, bytes.length), StandardCharsets.ISO_8859_1);
        if (begin.equals("%PDF")) {
            return "pdf";
        }
        if (begin.equals("PK\u0003\u0004")) {
            return "zip";
        }
        try {
            StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes));
            return "txt";
        } catch (CharacterCodingException noText) {
            return "bin";
        }
    }

    /** One line an entry: its hash, a blank, the text that the hash is taken over after the hash before. */
    private JournalEntry journal() throws IOException, SQLException {
        JournalEntry last = new JournalEntry(0, Instant.EPOCH, "", "", "", "{}", "", Journal.START);
        try (OutputStream file = file("journal.txt");
                Statement statement = connection.createStatement()) {
            statement.setFetchSize(1000);
            try (ResultSet rows = statement.executeQuery("select * from journal.entry order by seq")) {
                while (rows.next()) {
                    last = new JournalEntry(
                            rows.getLong("seq"),
                            rows.getObject("at", OffsetDateTime.class)
                                    .withOffsetSameInstant(ZoneOffset.UTC)
                                    .toInstant(),
                            rows.getString("actor"),
                            rows.getString("what"),
                            rows.getString("subject"),
                            rows.getString("detail"),
                            rows.getString("previous_sha256"),
                            rows.getString("sha256"));
                    file.write((last.sha256() + " " + last.canonical() + "\n").getBytes(StandardCharsets.UTF_8));
                }
            }
        }
        return last;
    }

    /** A file of which the digest is listed when it is closed. */
    private OutputStream file(String name) throws IOException {
        Path path = out.resolve(name);
        Files.createDirectories(path.getParent());
        MessageDigest digest = digest();
        return new DigestOutputStream(new BufferedOutputStream(Files.newOutputStream(path), 1 << 16), digest) {
            @Override
            public void close() throws IOException {
                super.close();
                digests.put(name, HexFormat.of().formatHex(digest.digest()));
            }
        };
    }

    private static MessageDigest digest() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java has SHA-256", impossible);
        }
    }
}
