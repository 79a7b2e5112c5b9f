package org.tenmesh.app.check;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;

/** The tables the program ships for its checks: a line of source, a header, rows without quotes. */
record Rows(List<String> header, List<String[]> rows) {

    static Rows of(String file) {
        try (InputStream in = Rows.class.getResourceAsStream(file)) {
            if (in == null) {
                throw new IllegalStateException("the program was packed without " + file);
            }
            List<String[]> lines = new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8))
                    .lines()
                    .filter(line -> !line.startsWith("#"))
                    .map(line -> line.split(",", -1))
                    .toList();
            return new Rows(List.of(lines.get(0)), lines.subList(1, lines.size()));
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** Rows whose first cell is this. */
    List<String[]> where(String first) {
        return rows.stream().filter(row -> row[0].equals(first)).toList();
    }

    /** A column of numbers of the rows whose first cell is this. */
    double[] column(String first, String name) {
        int at = header.indexOf(name);
        return where(first).stream()
                .mapToDouble(row -> Double.parseDouble(row[at]))
                .toArray();
    }
}
