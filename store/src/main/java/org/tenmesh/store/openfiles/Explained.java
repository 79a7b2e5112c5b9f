package org.tenmesh.store.openfiles;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/** The page that explains the files: what each is, and what each column of each table holds. */
final class Explained {
    private static final String WORDS = "columns.txt";
    private static final String TEXT = "about.md";

    private final List<Table> tables;
    private final Map<String, Long> rows;
    private final boolean sealed;

    Explained(List<Table> tables, Map<String, Long> rows, boolean sealed) {
        this.tables = tables;
        this.rows = rows;
        this.sealed = sealed;
    }

    /** What a table ({@code schema.table}) or a column ({@code schema.table.column}, else its name alone) holds. */
    static Optional<String> says(String name) {
        Map<String, String> words = Loaded.WORDS;
        return Optional.ofNullable(words.get(name))
                .or(() -> Optional.ofNullable(words.get(name.substring(name.lastIndexOf('.') + 1))));
    }

    private static final class Loaded {
        private static final Map<String, String> WORDS = load();

        private static Map<String, String> load() {
            Map<String, String> words = new TreeMap<>();
            text(Explained.WORDS).lines().filter(line -> line.contains(": ")).forEach(line -> {
                int colon = line.indexOf(": ");
                words.put(line.substring(0, colon), line.substring(colon + 2));
            });
            return words;
        }
    }

    private static String text(String resource) {
        try (InputStream in = Optional.ofNullable(Explained.class.getResourceAsStream(resource))
                .orElseThrow(() -> new IllegalStateException(resource + " is not in the program"))) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new IllegalStateException(resource + " cannot be read", e);
        }
    }

    String page(Instant at, String head) {
        StringBuilder page = new StringBuilder(text(TEXT)
                .replace("{time}", at.toString())
                .replace("{head}", head)
                .replace(
                        "{sealed}",
                        sealed
                                ? "The folder `sealed` holds the key of the hidden controls. This copy is for quality alone."
                                : "The key of the hidden controls (schema `sealed`) is not in this copy."));
        for (Table table : tables) {
            page.append("\n### ").append(table.full()).append("\n\n");
            says(table.full()).ifPresent(says -> page.append(says).append(". "));
            page.append(
                    String.format(Locale.ROOT, "%,d rows in `%s`.", rows.getOrDefault(table.full(), 0L), table.file()));
            if (!table.key().isEmpty()) {
                page.append(" Key: ").append(table.key()).append('.');
            }
            page.append("\n\n| column | type | holds |\n| --- | --- | --- |\n");
            for (Table.Column column : table.columns()) {
                String holds = says(table.full() + "." + column.name()).orElse("");
                page.append("| ")
                        .append(column.name())
                        .append(" | ")
                        .append(column.bytes() ? "file" : column.type())
                        .append(column.required() ? "" : ", may be absent")
                        .append(" | ")
                        .append(holds)
                        .append(column.bytes() ? " (SHA-256 of the file in `files` that holds the bytes)" : "")
                        .append(column.secret() ? " (its SHA-256)" : "")
                        .append(" |\n");
            }
        }
        return page.toString();
    }
}
