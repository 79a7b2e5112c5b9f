package org.tenmesh.exchange.day;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.csv.ExtraColumns;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;

/** Reads the tables of one day folder, and keeps their problems and the columns that they do not name. */
final class TablesRead {
    private final Path folder;
    private final Limits limits;
    private final List<Problem> problems;
    private final Map<String, ExtraColumns> extras = new LinkedHashMap<>();
    private final List<Count> counts = new ArrayList<>();

    /** @param problems that what is wrong is added to */
    TablesRead(Path folder, Limits limits, List<Problem> problems) {
        this.folder = folder;
        this.limits = limits;
        this.problems = problems;
    }

    /** Columns that the program does not name, by file; more may be put in. */
    Map<String, ExtraColumns> extras() {
        return extras;
    }

    /**
     * The rows of one file.
     *
     * @param inFile counted in the file, header and empty lines left out
     * @param taken how many were taken
     * @param refused why none was; empty when they were
     */
    record Count(String file, int inFile, int taken, Optional<Problem> refused) {}

    /** Of the files that are there, in the order read. */
    List<Count> counts() {
        return counts;
    }

    /** What a file gave: its rows, and its keys unless it could not be taken. */
    record Taken<T>(List<T> rows, Optional<Set<String>> keys) {}

    interface RowReader<T> {
        /** Reads one row; the key may be checked by the caller before it is used. */
        Optional<T> read(CsvFile.Row row);
    }

    <T> Taken<T> table(DayTable<?> table, RowReader<T> reader) {
        String name = table.file();
        FileProblems wrong = new FileProblems(
                name,
                name.equals(DayFiles.RUNS)
                        ? "Nothing of this file is taken, so no run is judged"
                        : "Nothing of this file is taken" + DayFiles.REST);
        List<T> rows = new ArrayList<>();
        Map<String, Integer> lines = new HashMap<>();
        Path path = folder.resolve(name);
        if (!Files.exists(path)) {
            return new Taken<>(List.of(), Optional.of(Set.of()));
        }
        Optional<byte[]> bytes =
                TextFile.bytesInside(folder, name, limits.fileBytes(), wrong.told(), wrong.consequence());
        int inFile = bytes.map(CsvFile::rows).orElse(0);
        Optional<CsvFile> opened = bytes.flatMap(its -> TextFile.decode(its, name, wrong.told(), wrong.consequence()))
                .flatMap(text -> CsvFile.open(text, table.required(), wrong));
        if (opened.isPresent()) {
            CsvFile csv = opened.get();
            List<String> beyond = csv.columnsBeyond(new HashSet<>(table.columns()));
            problems.addAll(csv.misspelt(name, table.columns()));
            ExtraColumns.Builder kept = new ExtraColumns.Builder(beyond);
            csv.forEach(row -> {
                String its = table.key(row);
                Optional<T> read = reader.read(row);
                Integer before = lines.putIfAbsent(its, row.line());
                if (before != null && !its.replace("\n", "").isEmpty()) {
                    row.wrong(
                            table.required().get(0),
                            Problem.quoted(its.replace("\n", " ")) + " a second time",
                            "each " + table.keyWords() + " once; it stands on line " + before + " already");
                }
                if (!beyond.isEmpty()) {
                    kept.put(its, row.cells(beyond));
                }
                read.ifPresent(rows::add);
            });
            if (wrong.none() && !beyond.isEmpty()) {
                extras.put(name, kept.build());
            }
        }
        problems.addAll(wrong.all());
        counts.add(new Count(name, inFile, wrong.none() ? rows.size() : 0, wrong.first()));
        return wrong.none() ? new Taken<>(rows, Optional.of(lines.keySet())) : new Taken<>(List.of(), Optional.empty());
    }

    static Optional<LabNumber> labNumber(CsvFile.Row row) {
        String text = row.text("lab_number");
        if (text.isEmpty()) {
            return Optional.empty();
        }
        if (text.length() > 32 || text.chars().anyMatch(c -> c < ' ' || c == 0x7f)) {
            row.wrong("lab_number", "1 to 32 printable characters");
            return Optional.empty();
        }
        return Optional.of(new LabNumber(text));
    }
}
