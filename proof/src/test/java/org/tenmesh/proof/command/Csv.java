package org.tenmesh.proof.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads RFC 4180 text by a few lines of its own, so that the tests do not read with what they test. */
final class Csv {
    private Csv() {}

    static List<String> header(Path file) throws IOException {
        return records(file).get(0);
    }

    /** One row; asking for a column that is not there fails. */
    record Row(Map<String, String> cells) {
        String of(String column) {
            String cell = cells.get(column);
            if (cell == null) {
                throw new IllegalArgumentException("no column " + column + " in " + cells.keySet());
            }
            return cell;
        }
    }

    static List<Row> rows(Path file) throws IOException {
        List<List<String>> records = records(file);
        List<Row> rows = new ArrayList<>();
        for (List<String> record : records.subList(1, records.size())) {
            Map<String, String> row = new LinkedHashMap<>();
            for (int i = 0; i < record.size(); i++) {
                row.put(records.get(0).get(i), record.get(i));
            }
            rows.add(new Row(row));
        }
        return rows;
    }

    private static List<List<String>> records(Path file) throws IOException {
        String text = Files.readString(file, UTF_8);
        List<List<String>> records = new ArrayList<>();
        List<String> record = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (quoted) {
                if (c == '"' && i + 1 < text.length() && text.charAt(i + 1) == '"') {
                    cell.append('"');
                    i++;
                } else if (c == '"') {
                    quoted = false;
                } else {
                    cell.append(c);
                }
            } else if (c == '"') {
                quoted = true;
            } else if (c == ',' || c == '\n') {
                record.add(cell.toString());
                cell.setLength(0);
                if (c == '\n') {
                    records.add(record);
                    record = new ArrayList<>();
                }
            } else if (c != '\r') {
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
