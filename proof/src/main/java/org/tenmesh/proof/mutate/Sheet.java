package org.tenmesh.proof.mutate;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** A CSV file as cells, read and written by a few lines of its own: a mistake is made in what a person sees, not in bytes. */
final class Sheet {
    final List<String> header;
    final List<List<String>> rows;

    private Sheet(List<String> header, List<List<String>> rows) {
        this.header = header;
        this.rows = rows;
    }

    static Sheet of(byte[] bytes) {
        List<List<String>> records = records(new String(bytes, StandardCharsets.UTF_8));
        return records.isEmpty()
                ? new Sheet(new ArrayList<>(), new ArrayList<>())
                : new Sheet(records.get(0), new ArrayList<>(records.subList(1, records.size())));
    }

    int column(String name) {
        return header.indexOf(name);
    }

    String cell(int row, String name) {
        int column = column(name);
        return column < 0 || column >= rows.get(row).size() ? "" : rows.get(row).get(column);
    }

    void set(int row, String name, String text) {
        rows.get(row).set(column(name), text);
    }

    byte[] bytes() {
        return text(",", "\n").getBytes(StandardCharsets.UTF_8);
    }

    String text(String separator, String lineEnd) {
        StringBuilder text = new StringBuilder();
        line(text, header, separator, lineEnd);
        rows.forEach(row -> line(text, row, separator, lineEnd));
        return text.toString();
    }

    private static void line(StringBuilder text, List<String> cells, String separator, String lineEnd) {
        for (int i = 0; i < cells.size(); i++) {
            String cell = cells.get(i);
            boolean quoted =
                    cell.contains(separator) || cell.contains("\"") || cell.contains("\n") || cell.contains("\r");
            text.append(i == 0 ? "" : separator).append(quoted ? "\"" + cell.replace("\"", "\"\"") + "\"" : cell);
        }
        text.append(lineEnd);
    }

    static List<List<String>> records(String text) {
        List<List<String>> records = new ArrayList<>();
        List<String> record = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '"' && quoted && i + 1 < text.length() && text.charAt(i + 1) == '"') {
                cell.append('"');
                i++;
            } else if (c == '"') {
                quoted = !quoted;
            } else if (!quoted && (c == ',' || c == '\n')) {
                record.add(cell.toString());
                cell.setLength(0);
                if (c == '\n') {
                    records.add(record);
                    record = new ArrayList<>();
                }
            } else if (c != '\r' || quoted) {
                cell.append(c);
            }
        }
        if (!record.isEmpty() || cell.length() > 0) {
            record.add(cell.toString());
            records.add(record);
        }
        return records;
    }
}
