package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.postgresql.PGConnection;
import org.tenmesh.store.openfiles.OpenFiles;

/** The whole record as open files: read back into empty tables it is the same, row by row, and its chain is computed without the program. */
final class OpenFilesDbTest {
    private static final Path FOLDER = OpenStore.folder("open-files");

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    private static Path out = Path.of("");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    private static OpenFiles.Written written = new OpenFiles.Written(Map.of(), 0, 0, "");

    @BeforeAll
    static void aRecord() {
        store = OpenStore.open(FOLDER);
        FullStore.fill(store);
        out = temp.resolve("record");
        written = store.writeOpenFiles(out, true, "Q. Ahern", says -> {});
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    @Test
    void everyTableReadsBackTheSame() throws Exception {
        Map<String, String> columns = new TreeMap<>();
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement()) {
            connection.setAutoCommit(false);
            statement.execute("set timezone = 'UTC'");
            try (ResultSet rows = statement.executeQuery("""
                    select n.nspname || '.' || c.relname as "table", a.attname as name, format_type(a.atttypid, null) as type
                    from pg_class c join pg_namespace n on n.oid = c.relnamespace
                    join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
                    where c.relkind = 'r' and n.nspname !~ '^pg_' and n.nspname not in ('information_schema', 'migration')
                      and c.relname not in ('session', 'one_time_token', 'failed_sign_in')
                    order by 1, a.attnum
                    """)) {
                while (rows.next()) {
                    String name = rows.getString("name");
                    String column = rows.getString("type").equals("bytea")
                            ? "encode(sha256(" + name + "), 'hex') as " + name
                            : name.endsWith("_hash")
                                    ? "case " + name + " when '' then '' else encode(sha256(convert_to(" + name
                                            + ", 'UTF8')), 'hex') end as " + name
                                    : "\"" + name + "\"";
                    columns.merge(rows.getString("table"), column, (one, two) -> one + ", " + two);
                }
            }
            assertThat(columns).hasSize(written.rows().size()).hasSizeGreaterThan(40);
            for (Map.Entry<String, String> one : columns.entrySet()) {
                String table = one.getKey();
                String select = "select " + one.getValue() + " from " + table;
                Path file = out.resolve(table.replace('.', '/') + ".csv");
                statement.execute("create temporary table back on commit drop as " + select + " limit 0");
                try (InputStream csv = Files.newInputStream(file)) {
                    connection
                            .unwrap(PGConnection.class)
                            .getCopyAPI()
                            .copyIn("copy back from stdin with (format csv, header)", csv);
                }
                try (ResultSet same =
                        statement.executeQuery("select (select count(*) from back), (select count(*) from ((" + select
                                + " except all table back) union all (table back except all " + select + ")) x)")) {
                    same.next();
                    assertThat(same.getLong(1))
                            .as(table)
                            .isEqualTo(written.rows().get(table));
                    assertThat(same.getLong(2)).as(table + ": rows that differ").isZero();
                }
                connection.commit();
            }
        }
    }

    @Test
    void everyFileHasTheDigestThatIsListedAndWhatCameIsThere() throws Exception {
        List<String> lines = Files.readAllLines(out.resolve("digests.txt"));
        for (String line : lines) {
            Path file = out.resolve(line.substring(66));
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file));
            assertThat(line.substring(0, 64)).isEqualTo(HexFormat.of().formatHex(digest));
        }
        // every file but the page and the list
        try (var all = Files.walk(out)) {
            assertThat(all.filter(Files::isRegularFile)).hasSize(lines.size() + 2);
        }
        String arrived = OpenStore.ask(store, "select sha256 from capture.arrival where key = '1'");
        assertThat(Files.readString(out.resolve("files/" + arrived + ".txt"))).isEqualTo("export 1");
    }

    @Test
    void thePageExplainsEveryTableAndColumn() throws Exception {
        String page = Files.readString(out.resolve("README.md"));
        List<String> unexplained = new ArrayList<>();
        String table = "";
        for (String line : page.lines().toList()) {
            if (line.startsWith("### ")) {
                table = line.substring(4);
            } else if (!table.isEmpty() && line.matches("[0-9,]+ rows in .*")) {
                unexplained.add(table);
            } else if (!table.isEmpty() && line.matches("\\| \\w+ \\| [^|]+ \\|\\s*(\\(.*\\)\\s*)?\\|")) {
                unexplained.add(table + "." + line.split(" ")[1]);
            }
        }
        assertThat(unexplained).as("say in columns.txt what these hold").isEmpty();
        assertThat(page).contains("for quality alone", written.head()).doesNotContain("{time}", "{head}", "{sealed}");
    }

    /** The recipe of the page, run by something else than this program. */
    @Test
    void theRecipeOfThePageComputesTheChain() throws Exception {
        String page = Files.readString(out.resolve("README.md"));
        String recipe =
                page.substring(page.indexOf("```python\n") + 10, page.indexOf("```", page.indexOf("```python") + 3));
        assertThat(recipe.lines()).hasSizeLessThanOrEqualTo(12);
        assertThat(recipe(recipe)).isEqualTo(written.entries() + " entries, the last is " + written.head());
        String journal = Files.readString(out.resolve("journal.txt"));
        Files.writeString(out.resolve("journal.txt"), journal.replaceFirst("full name", "other name"));
        assertThat(recipe(recipe)).contains("was changed");
        Files.writeString(out.resolve("journal.txt"), journal);
    }

    private static String recipe(String text) throws Exception {
        Process process;
        try {
            process = new ProcessBuilder("python3", "-c", text)
                    .directory(out.toFile())
                    .redirectErrorStream(true)
                    .start();
        } catch (java.io.IOException absent) {
            Assumptions.abort("no python3 on this machine: " + absent.getMessage());
            throw absent;
        }
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
        assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
        return said;
    }

    @Test
    void withoutTheKeyNothingOfTheSealedSchemaIsWritten() throws Exception {
        Path open = temp.resolve("without");
        OpenFiles.Written those = store.writeOpenFiles(open, false, "M. Whelan", says -> {});
        assertThat(those.rows().keySet()).noneMatch(table -> table.startsWith("sealed."));
        assertThat(open.resolve("sealed")).doesNotExist();
        assertThat(Files.readString(open.resolve("README.md")))
                .contains("is not in this copy")
                .doesNotContain("### sealed");
        assertThat(store.journal(1).get(0).what()).isEqualTo(OpenFiles.EXPORTED);
    }
}
