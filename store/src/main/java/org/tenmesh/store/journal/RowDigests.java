package org.tenmesh.store.journal;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.rows.Json;

/**
 * The digest of each of several stored rows by the row's name. The digest over all of them stands in a journal entry; the
 * lines are kept beside the journal, so that a row that was changed, deleted or put in can be named.
 *
 * @param byName digests, by the row's name as a JSON string without its quotes
 */
public record RowDigests(Map<String, String> byName) {
    public RowDigests {
        // Sorted, so that the order in which rows are read does not matter.
        byName = new TreeMap<>(byName);
    }

    /** From rows of text; two rows of one name count as one row of both texts. */
    public static RowDigests of(Iterable<Row> rows) {
        Map<String, String> texts = new LinkedHashMap<>();
        for (Row row : rows) {
            texts.merge(escaped(row.name()), row.text(), (one, two) -> one + '\n' + two);
        }
        texts.replaceAll((name, text) -> Journal.sha256(text));
        return new RowDigests(texts);
    }

    /**
     * One stored row.
     *
     * @param name what a person calls it
     * @param text everything the row says, as canonical JSON
     */
    public record Row(String name, String text) {}

    public static String escaped(String name) {
        String quoted = Json.text(name);
        return quoted.substring(1, quoted.length() - 1);
    }

    public int size() {
        return byName.size();
    }

    /** What is kept: a line for each row, its digest, a blank and its name. */
    public String lines() {
        StringBuilder lines = new StringBuilder();
        byName.forEach(
                (name, digest) -> lines.append(digest).append(' ').append(name).append('\n'));
        return lines.toString();
    }

    /** SHA-256 over the lines: what stands in the journal. */
    public String sha256() {
        return Journal.sha256(lines());
    }

    /** Keeps the lines and returns their digest. */
    public String keep(Handle handle) {
        String lines = lines();
        String sha256 = Journal.sha256(lines);
        handle.createUpdate(
                        "insert into journal.contents (sha256, lines) values (:sha256, :lines) on conflict do nothing")
                .bind("sha256", sha256)
                .bind("lines", lines)
                .execute();
        return sha256;
    }

    /** The lines that have this digest; empty when they are not there or were changed. */
    public static Optional<RowDigests> kept(Handle handle, String sha256) {
        return handle.createQuery("select lines from journal.contents where sha256 = :sha256")
                .bind("sha256", sha256)
                .mapTo(String.class)
                .findOne()
                .filter(lines -> Journal.sha256(lines).equals(sha256))
                .map(RowDigests::parse);
    }

    private static RowDigests parse(String lines) {
        Map<String, String> byName = new LinkedHashMap<>();
        lines.lines().forEach(line -> {
            int blank = line.indexOf(' ');
            byName.put(line.substring(blank + 1), line.substring(0, blank));
        });
        return new RowDigests(byName);
    }
}
