package org.tenmesh.exchange.readers;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Problem;

/**
 * The rows of an instrument's export as named cells.
 *
 * @param columns names that every row has
 * @param header entries found above the rows
 * @param rows in the order of the file
 */
record ExportTable(Set<String> columns, Map<String, String> header, List<Row> rows) {
    /** One row with the line it stands on. */
    record Row(int line, Map<String, String> cells) {}

    /** How a row becomes cells. */
    sealed interface Form {}

    /** Fields between delimiters, named by a header row. */
    record Delimited(char delimiter) implements Form {}

    /** Fields at fixed places; columns from 1, both ends included. */
    record Fixed(List<FixedColumn> columns) implements Form {}

    record FixedColumn(String name, int from, int to) {}

    /** A regular expression whose named groups are the cells. */
    record Lines(Pattern pattern, List<String> names) implements Form {}

    /** Records of an analyser; the cells are fields and their components, such as {@code O3} and {@code R3.4}. */
    record Records() implements Form {}

    /**
     * Where the rows are.
     *
     * @param header entry name to a pattern with one group, looked for above the rows
     * @param skipRows rows to leave out at the top
     * @param startsAfter the rows begin below the first line that matches
     * @param endsBefore the rows end above the first line that matches
     * @param skip lines to leave out wherever they stand
     * @param announced a line anywhere whose group tells how many rows the file holds
     */
    record Frame(
            Map<String, Pattern> header,
            int skipRows,
            Optional<Pattern> startsAfter,
            Optional<Pattern> endsBefore,
            List<Pattern> skip,
            Optional<Pattern> announced) {}

    static ExportTable of(String text, Frame frame, Form form, FileProblems problems) {
        List<String> lines = text.lines().toList();
        int first = Math.min(frame.skipRows(), lines.size());
        if (frame.startsAfter().isPresent()) {
            Pattern begin = frame.startsAfter().get();
            while (first < lines.size() && !begin.matcher(lines.get(first)).find()) {
                first++;
            }
            if (first == lines.size()) {
                problems.add(0, "", "no line that matches " + begin, "the line above the readings");
            }
            first = Math.min(first + 1, lines.size());
        }
        Map<String, String> header = header(lines.subList(0, first), frame, problems);
        int end = lines.size();
        if (frame.endsBefore().isPresent()) {
            for (int i = first; i < end; i++) {
                if (frame.endsBefore().get().matcher(lines.get(i)).find()) {
                    end = i;
                }
            }
        }
        List<Row> rows = new ArrayList<>();
        Set<String> columns = new LinkedHashSet<>();
        List<Numbered> kept = new ArrayList<>();
        for (int i = first; i < end; i++) {
            String line = lines.get(i);
            if (!line.isBlank()
                    && frame.skip().stream()
                            .noneMatch(skip -> skip.matcher(line).find())) {
                kept.add(new Numbered(i + 1, line));
            }
        }
        if (form instanceof Delimited delimited) {
            delimited(kept, delimited, columns, rows, problems);
        } else if (form instanceof Fixed fixed) {
            fixed(kept, fixed, columns, rows, problems);
        } else if (form instanceof Lines pattern) {
            lines(kept, pattern, columns, rows, problems);
        } else if (form instanceof Records) {
            records(kept, columns, rows, problems);
        }
        if (frame.announced().isPresent()) {
            announced(lines, frame.announced().get(), kept.size() - (form instanceof Delimited ? 1 : 0), problems);
        }
        return new ExportTable(columns, header, rows);
    }

    private record Numbered(int line, String text) {}

    private static Map<String, String> header(List<String> above, Frame frame, FileProblems problems) {
        Map<String, String> found = new LinkedHashMap<>();
        frame.header().forEach((name, pattern) -> {
            for (String line : above) {
                Matcher matcher = pattern.matcher(line);
                if (matcher.find()) {
                    found.put(name, matcher.group(1).strip());
                    return;
                }
            }
            problems.add(0, name, "no line above the readings that matches " + pattern, "the entry " + name);
        });
        return found;
    }

    private static void announced(List<String> lines, Pattern pattern, int rows, FileProblems problems) {
        for (int i = 0; i < lines.size(); i++) {
            Matcher matcher = pattern.matcher(lines.get(i));
            if (matcher.find()) {
                if (!matcher.group(1).equals(Integer.toString(rows))) {
                    problems.add(i + 1, "", rows + " rows", matcher.group(1) + " rows, as this line says");
                }
                return;
            }
        }
        problems.add(0, "", "no line that matches " + pattern, "the line that tells how many rows there are");
    }

    private static void delimited(
            List<Numbered> kept, Delimited form, Set<String> columns, List<Row> rows, FileProblems problems) {
        List<String> names = List.of();
        for (Numbered one : kept) {
            List<String> fields;
            try {
                CsvRecord record =
                        CsvReader.builder().fieldSeparator(form.delimiter()).ofSingleCsvRecord(one.text());
                fields = record.getFields().stream().map(String::strip).toList();
            } catch (CsvParseException broken) {
                problems.add(one.line(), "", "broken quotes", "quotes closed on the same line");
                continue;
            }
            if (columns.isEmpty()) {
                names = fields;
                Set<String> seen = new HashSet<>();
                for (String name : fields) {
                    if (!name.isEmpty() && !seen.add(name)) {
                        problems.add(one.line(), name, "the column twice", "each column once");
                    }
                }
                columns.addAll(fields);
            } else if (fields.size() != names.size()) {
                problems.add(one.line(), "", fields.size() + " fields", names.size() + " fields, as in the header row");
            } else {
                Map<String, String> cells = new LinkedHashMap<>();
                for (int i = 0; i < names.size(); i++) {
                    cells.put(names.get(i), fields.get(i));
                }
                rows.add(new Row(one.line(), cells));
            }
        }
        if (columns.isEmpty() || kept.size() == 1) {
            problems.add(
                    0, "", columns.isEmpty() ? "no rows" : "a header row alone", "a header row and readings below it");
        }
    }

    private static void fixed(
            List<Numbered> kept, Fixed form, Set<String> columns, List<Row> rows, FileProblems problems) {
        form.columns().forEach(column -> columns.add(column.name()));
        for (Numbered one : kept) {
            Map<String, String> cells = new LinkedHashMap<>();
            String text = one.text();
            for (FixedColumn column : form.columns()) {
                int from = Math.min(column.from() - 1, text.length());
                cells.put(
                        column.name(),
                        text.substring(from, Math.min(column.to(), text.length()))
                                .strip());
            }
            rows.add(new Row(one.line(), cells));
        }
        if (rows.isEmpty()) {
            problems.add(0, "", "no rows", "readings");
        }
    }

    private static void lines(
            List<Numbered> kept, Lines form, Set<String> columns, List<Row> rows, FileProblems problems) {
        columns.addAll(form.names());
        if (!kept.isEmpty()
                && kept.stream()
                        .noneMatch(one -> form.pattern().matcher(one.text()).matches())) {
            problems.add(
                    kept.get(0).line(),
                    "",
                    Problem.quoted(kept.get(0).text()) + ", and none of " + kept.size()
                            + " lines has the form of this reader",
                    "lines that give " + String.join(", ", form.names()) + ", of the form " + form.pattern());
            return;
        }
        String expected = "a line of the form " + form.pattern();
        for (Numbered one : kept) {
            Matcher matcher = form.pattern().matcher(one.text());
            if (!matcher.matches()) {
                problems.add(one.line(), "", Problem.quoted(one.text()), expected);
                expected = "a line of the same form";
                continue;
            }
            Map<String, String> cells = new LinkedHashMap<>();
            for (String name : form.names()) {
                cells.put(
                        name,
                        Optional.ofNullable(matcher.group(name)).orElse("").strip());
            }
            rows.add(new Row(one.line(), cells));
        }
        if (kept.isEmpty()) {
            problems.add(0, "", "no rows", "readings");
        }
    }

    private static void records(List<Numbered> kept, Set<String> columns, List<Row> rows, FileProblems problems) {
        RecordText text = new RecordText();
        for (Numbered one : kept) {
            text.next(one.text()).ifPresent(wrong -> problems.add(one.line(), "", wrong.found(), wrong.expected()));
            if (text.isResult()) {
                Map<String, String> cells = text.cells();
                columns.addAll(cells.keySet());
                rows.add(new Row(one.line(), cells));
            }
        }
        if (rows.isEmpty()) {
            problems.add(0, "", "no result record (R)", "results below an order record (O)");
        }
    }
}
