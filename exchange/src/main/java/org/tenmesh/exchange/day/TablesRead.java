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
     * @param lost how many were left out, each for what is wrong in it
     * @param refused why none was; empty when they were
     */
    record Count(String file, int inFile, int taken, int lost, Optional<Problem> refused) {}

    /** Of the files that are there, in the order read. */
    List<Count> counts() {
        return counts;
    }

    /**
     * What a file gave.
     *
     * @param keys of all its lines, the lost ones among them; empty when the file or the key of a line could not be taken
     * @param lost lines that could not be taken; one without line and key when the whole file could not
     */
    record Taken<T>(List<T> rows, Optional<Set<String>> keys, List<Lost> lost) {}

    /**
     * A line that could not be taken.
     *
     * @param key its key columns as they stand there; no one where they could not be told apart
     */
    record Lost(String file, int line, List<String> key) {
        /** A part of the key; empty when it could not be read. */
        Optional<String> part(int at) {
            return key.size() <= at || key.get(at).isEmpty() ? Optional.empty() : Optional.of(key.get(at));
        }
    }

    interface RowReader<T> {
        /** Reads one row; the key may be checked by the caller before it is used. */
        Optional<T> read(CsvFile.Row row);
    }

    <T> Taken<T> table(DayTable<?> table, RowReader<T> reader) {
        String name = table.file();
        Path path = folder.resolve(name);
        if (!Files.exists(path)) {
            return new Taken<>(List.of(), Optional.of(Set.of()), List.of());
        }
        FileProblems wrong = new FileProblems(
                name,
                name.equals(DayFiles.RUNS)
                        ? "Nothing of this file is taken, so no run is judged"
                        : "Nothing of this file is taken" + DayFiles.REST,
                table.lineIsLost());
        Optional<byte[]> bytes =
                TextFile.bytesInside(folder, name, limits.fileBytes(), wrong.told(), wrong.consequence());
        int inFile = bytes.map(CsvFile::rows).orElse(0);
        Optional<CsvFile> opened = bytes.flatMap(its -> TextFile.decode(its, name, wrong.told(), wrong.consequence()))
                .flatMap(text -> CsvFile.open(text, table.required(), wrong));
        Rows<T> rows = new Rows<>(table, wrong);
        if (opened.isPresent()) {
            CsvFile csv = opened.get();
            List<String> beyond = csv.columnsBeyond(new HashSet<>(table.columns()));
            problems.addAll(csv.misspelt(name, table.columns()));
            ExtraColumns.Builder kept = new ExtraColumns.Builder(beyond);
            csv.forEach(row -> {
                rows.take(row, reader);
                if (!beyond.isEmpty()) {
                    kept.put(table.key(row), row.cells(beyond));
                }
            });
            if (wrong.usable() && !beyond.isEmpty()) {
                extras.put(name, kept.build());
            }
        }
        problems.addAll(wrong.all());
        if (opened.isPresent() && wrong.usable()) {
            Taken<T> taken = rows.taken();
            counts.add(new Count(
                    name, inFile, taken.rows().size(), wrong.lostLines().size(), Optional.empty()));
            return taken;
        }
        Optional<Problem> why = wrong.all().stream()
                .filter(problem -> problem.consequence().equals(wrong.consequence()))
                .findFirst();
        counts.add(new Count(name, inFile, 0, 0, why));
        return new Taken<>(List.of(), Optional.empty(), List.of(new Lost(name, 0, List.of())));
    }

    /** The rows of a table as they are read; of two lines with one key that say different things neither is taken. */
    private static final class Rows<T> {
        private final DayTable<?> table;
        private final FileProblems wrong;
        private final Map<String, T> sound = new LinkedHashMap<>();
        private final Map<String, Integer> lines = new HashMap<>();
        private final Map<Integer, String> keysOfLines = new HashMap<>();
        private final Set<Integer> saidAlready = new HashSet<>();

        Rows(DayTable<?> table, FileProblems wrong) {
            this.table = table;
            this.wrong = wrong;
        }

        void take(CsvFile.Row row, RowReader<T> reader) {
            String key = table.key(row);
            Optional<T> read = reader.read(row);
            boolean good = read.isPresent() && !wrong.lostLines().contains(row.line());
            Integer before = lines.putIfAbsent(key, row.line());
            if (before == null || key.replace("\n", "").isEmpty()) {
                if (good) {
                    sound.put(key, read.get());
                } else {
                    keysOfLines.put(row.line(), key);
                }
                return;
            }
            boolean same = good && read.get().equals(sound.get(key));
            row.wrong(
                    table.required().get(0),
                    Problem.quoted(key.replace("\n", " ")) + " a second time",
                    "each " + table.keyWords() + " once; it stands on line " + before + " already",
                    same
                            ? "Both lines say the same; this one is left out, the first is taken"
                            : table.lineIsLost().replaceFirst("^This (line|run) is", "Both $1s are"));
            if (same) {
                saidAlready.add(row.line());
            } else {
                sound.remove(key);
                wrong.alsoLost(before);
                keysOfLines.put(before, key);
                keysOfLines.put(row.line(), key);
            }
        }

        Taken<T> taken() {
            List<Lost> lost = new ArrayList<>();
            boolean named = true;
            for (int line : wrong.lostLines()) {
                if (!saidAlready.contains(line)) {
                    String key = keysOfLines.get(line);
                    lost.add(new Lost(table.file(), line, key == null ? List.of() : List.of(key.split("\n", -1))));
                    named &= key != null && !key.startsWith("\n") && !key.isEmpty();
                }
            }
            return new Taken<>(
                    List.copyOf(sound.values()), named ? Optional.of(lines.keySet()) : Optional.empty(), lost);
        }
    }

    static Optional<LabNumber> labNumber(CsvFile.Row row) {
        String text = row.text("lab_number");
        if (text.isEmpty()) {
            return Optional.empty();
        }
        if (!mayBeALabNumber(text)) {
            row.wrong("lab_number", "1 to 32 printable characters");
            return Optional.empty();
        }
        return Optional.of(new LabNumber(text));
    }

    /** @param text not empty */
    static boolean mayBeALabNumber(String text) {
        return text.length() <= 32 && text.chars().noneMatch(c -> c < ' ' || c == 0x7f);
    }
}
