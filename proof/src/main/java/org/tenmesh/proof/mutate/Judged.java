package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * What the command said of a day.
 *
 * @param status its exit status
 * @param problems everything that could not be taken
 * @param notes what was taken as it could be
 * @param causes what the judge found, without numbers that any change of a reading moves
 * @param aside what was used for nothing
 * @param gates gates with their outcome
 * @param controls values of control soils, by where they were read
 * @param results by lab number, method and analyte
 */
record Judged(
        int status,
        Set<String> problems,
        Set<String> notes,
        Set<String> causes,
        Set<String> aside,
        Set<String> gates,
        Set<String> controls,
        Map<String, Answer> results) {
    /** What stands of one analyte of one soil. */
    record Answer(String reported, String verdict) {}

    /** The files that the command writes. */
    static final List<String> FILES = List.of(
            "causes.csv",
            "control-values.csv",
            "differences.csv",
            "gates.csv",
            "low-readings.csv",
            "measures.csv",
            "notes.csv",
            "problems.csv",
            "results.csv",
            "summary.json",
            "superseded.csv");

    /** The tables of a day folder. */
    static final List<String> TABLES = List.of(
            "submissions.csv",
            "samples.csv",
            "packages.csv",
            "shortages.csv",
            "trays.csv",
            "controls.csv",
            "materials.csv",
            "standards.csv",
            "runs.csv");

    static Judged read(Path out, int status) throws IOException {
        Map<String, Answer> results = new HashMap<>();
        for (List<String> row : rows(out, "results.csv")) {
            results.put(row.get(0) + " " + row.get(1) + " " + row.get(2), new Answer(row.get(5), row.get(7)));
        }
        Set<String> causes = new LinkedHashSet<>();
        for (List<String> row : rows(out, "causes.csv")) {
            causes.add(String.join(" ", row.get(1), row.get(2), row.get(4), row.get(5), row.get(6), row.get(7)));
        }
        return new Judged(
                status,
                sentences(out, "problems.csv"),
                sentences(out, "notes.csv"),
                causes,
                aside(out),
                cells(out, "gates.csv", 1, 2, 3),
                cells(out, "control-values.csv", 0, 1, 3, 4),
                results);
    }

    private static Set<String> aside(Path out) throws IOException {
        return Files.readString(out.resolve("summary.json"), StandardCharsets.UTF_8)
                .lines()
                .filter(line -> line.startsWith("  \"set_aside\": ["))
                .flatMap(line -> Arrays.stream(line.split("\", \"", -1)))
                .collect(Collectors.toCollection(LinkedHashSet::new));
    }

    private static Set<String> sentences(Path out, String file) throws IOException {
        return cells(out, file, 0, 1, 2, 3, 4, 5);
    }

    private static Set<String> cells(Path out, String file, int... columns) throws IOException {
        Set<String> all = new LinkedHashSet<>();
        for (List<String> row : rows(out, file)) {
            List<String> cells = new ArrayList<>();
            for (int column : columns) {
                cells.add(row.get(column));
            }
            all.add(String.join(" ", cells));
        }
        return all;
    }

    private static List<List<String>> rows(Path out, String file) throws IOException {
        List<List<String>> records = Sheet.records(Files.readString(out.resolve(file), StandardCharsets.UTF_8));
        return records.subList(1, records.size());
    }
}
