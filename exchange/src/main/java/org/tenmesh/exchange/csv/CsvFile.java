package org.tenmesh.exchange.csv;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Consumer;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.Spelling;
import org.tenmesh.exchange.file.TextFile;

/** A CSV file with a header row, read cell by cell; whatever is wrong goes to its problems. */
public final class CsvFile {
    /** Times outside these years are slips of the clock or the key. */
    public static final int FIRST_YEAR = 1900;

    public static final int LAST_YEAR = 2999;
    /** No laboratory measures more, in any unit; squares and sums of such numbers are still finite. */
    public static final double LARGEST = 1e15;

    /** No name or number is longer. */
    private static final int LONGEST = 1000;

    private final List<String> header;
    private final Map<String, Integer> index = new HashMap<>();
    private final Iterator<CsvRecord> records;
    private final FileProblems problems;
    private int lastLine;

    private CsvFile(List<String> header, Iterator<CsvRecord> records, FileProblems problems) {
        this.header = header;
        this.records = records;
        this.problems = problems;
        for (int i = 0; i < header.size(); i++) {
            index.put(header.get(i), i);
        }
    }

    /** Opens a text; empty when there is no header or a required column is missing. */
    public static Optional<CsvFile> open(String text, List<String> required, FileProblems problems) {
        Iterator<CsvRecord> records = CsvReader.builder()
                .skipEmptyLines(true)
                .allowExtraFields(true)
                .allowMissingFields(true)
                .ofCsvRecord(text)
                .iterator();
        List<String> header;
        try {
            if (!records.hasNext()) {
                problems.add(0, "", "an empty file", "a header row with at least " + String.join(", ", required));
                return Optional.empty();
            }
            header = records.next().getFields();
        } catch (CsvParseException broken) {
            problems.add(1, "", "broken CSV", "RFC 4180 CSV: quotes closed, doubled inside");
            return Optional.empty();
        }
        Set<String> seen = new HashSet<>();
        for (String column : header) {
            if (!column.isEmpty() && !seen.add(column)) {
                problems.add(1, column, "the column twice", "each column once");
            }
        }
        for (String column : required) {
            if (!seen.contains(column)) {
                problems.add(
                        1,
                        column,
                        "no such column among " + Problem.quoted(String.join(",", header)),
                        "the required column " + column);
            }
        }
        return problems.none() ? Optional.of(new CsvFile(header, records, problems)) : Optional.empty();
    }

    /**
     * How many rows a file has below its header, counted apart from reading it: what is read of it can be held against this number.
     * Empty lines are none; a quoted cell may go over several lines; after a quote that is never closed nothing is counted.
     */
    public static int rows(byte[] bytes) {
        int records = 0;
        boolean quoted = false;
        boolean cellBegins = true;
        boolean empty = true;
        for (int i = TextFile.startOfText(bytes); i < bytes.length; i++) {
            byte b = bytes[i];
            if (quoted) {
                quoted = b != '"';
            } else if (b == '\n' || b == '\r') {
                records += empty ? 0 : 1;
                empty = true;
                cellBegins = true;
            } else {
                // A quote opens a cell, or goes on with one after the quote that seemed to close it.
                quoted = b == '"' && (cellBegins || bytes[i - 1] == '"');
                cellBegins = b == ',';
                empty = false;
            }
        }
        records += empty ? 0 : 1;
        return Math.max(0, records - 1);
    }

    boolean has(String column) {
        return index.containsKey(column);
    }

    List<String> header() {
        return header;
    }

    /** Columns other than these, in the order of the file. */
    public List<String> columnsBeyond(Set<String> known) {
        return header.stream()
                .filter(column -> !column.isEmpty() && !known.contains(column))
                .toList();
    }

    /** Columns that are probably meant for a known one that is not there: a misspelt column must not pass as left out. */
    public List<Problem> misspelt(String file, List<String> known) {
        List<String> absent =
                known.stream().filter(column -> !header.contains(column)).toList();
        List<Problem> misspelt = new ArrayList<>();
        for (String column : columnsBeyond(new HashSet<>(known))) {
            Spelling.closest(column, absent)
                    .ifPresent(meant -> misspelt.add(new Problem(
                            file,
                            1,
                            column,
                            "a column of this name and no column " + meant,
                            meant + ", if that is what is meant",
                            "The column is kept and not used")));
        }
        return misspelt;
    }

    /** Hands over row by row; rows with too few or too many fields are problems and skipped. */
    public void forEach(Consumer<Row> consumer) {
        Row row = new Row();
        try {
            while (records.hasNext()) {
                CsvRecord record = records.next();
                lastLine = (int) record.getStartingLineNumber();
                if (record.getFieldCount() != header.size()) {
                    wrongCount(record);
                    continue;
                }
                row.record = record;
                consumer.accept(row);
            }
        } catch (CsvParseException broken) {
            problems.add(lastLine + 1, "", "broken CSV", "RFC 4180 CSV: quotes closed, doubled inside");
        }
    }

    private void wrongCount(CsvRecord record) {
        int count = record.getFieldCount();
        boolean runsOn = record.getFields().stream().anyMatch(cell -> cell.indexOf('\n') >= 0);
        String found = count + (count == 1 ? " field" : " fields") + (runsOn ? ", one of them over several lines" : "");
        String hint = count > header.size()
                ? " (a decimal comma splits a number in two)"
                : runsOn ? " (a quote may not be closed)" : "";
        String expected = header.size() + " fields, as in the header" + hint;
        if (runsOn) {
            // Nobody knows how many lines are inside.
            problems.add(lastLine, "", found, expected);
        } else {
            problems.addOfLine(lastLine, "", found, expected);
        }
    }

    /** One row; valid only while it is handed over. */
    public final class Row {
        private CsvRecord record = CsvReader.builder().ofSingleCsvRecord("-");

        public int line() {
            return lastLine;
        }

        /** The cell as it stands; empty text when the column is not there. */
        public String cell(String column) {
            Integer at = index.get(column);
            return at == null ? "" : record.getField(at);
        }

        public Optional<String> optional(String column) {
            String cell = cell(column);
            return cell.isEmpty() ? Optional.empty() : Optional.of(cell);
        }

        /** A required text. */
        public String text(String column) {
            String cell = cell(column);
            if (cell.isEmpty()) {
                problems.addOfLine(lastLine, column, "an empty cell", "a value");
            } else if (cell.chars().anyMatch(c -> c < ' ' || c == 0x7f)) {
                wrong(column, "printable characters");
            } else if (cell.length() > LONGEST) {
                wrong(column, "at most " + LONGEST + " characters");
            }
            return cell;
        }

        public OptionalDouble optionalNumber(String column) {
            String cell = cell(column);
            if (cell.isEmpty()) {
                return OptionalDouble.empty();
            }
            OptionalDouble value = Numbers.parse(cell);
            if (value.isEmpty()) {
                wrong(column, "a number with . as the decimal mark");
            } else if (Math.abs(value.getAsDouble()) > LARGEST) {
                wrong(column, "a number between -" + DecimalText.of(LARGEST) + " and " + DecimalText.of(LARGEST));
                return OptionalDouble.empty();
            }
            return value;
        }

        public double number(String column) {
            return text(column).isEmpty() ? 0 : optionalNumber(column).orElse(0);
        }

        public OptionalInt optionalWhole(String column, int least) {
            String cell = cell(column);
            if (cell.isEmpty()) {
                return OptionalInt.empty();
            }
            try {
                int value = Integer.parseInt(cell);
                if (value >= least) {
                    return OptionalInt.of(value);
                }
            } catch (NumberFormatException notWhole) {
                // told below
            }
            wrong(column, "a whole number of " + least + " or more");
            return OptionalInt.empty();
        }

        public OffsetDateTime time(String column) {
            String cell = text(column);
            try {
                OffsetDateTime time = OffsetDateTime.parse(cell);
                if (time.getYear() >= FIRST_YEAR && time.getYear() <= LAST_YEAR) {
                    return time;
                }
                wrong(column, "a time of the years " + FIRST_YEAR + " to " + LAST_YEAR);
            } catch (DateTimeParseException notTime) {
                if (!cell.isEmpty()) {
                    wrong(column, "an ISO 8601 time with offset, such as 2026-11-25T08:30:00+01:00");
                }
            }
            return OffsetDateTime.MIN;
        }

        public Optional<LocalDate> optionalDate(String column) {
            String cell = cell(column);
            if (cell.isEmpty()) {
                return Optional.empty();
            }
            try {
                LocalDate date = LocalDate.parse(cell);
                if (date.getYear() >= FIRST_YEAR && date.getYear() <= LAST_YEAR) {
                    return Optional.of(date);
                }
                wrong(column, "a date of the years " + FIRST_YEAR + " to " + LAST_YEAR);
            } catch (DateTimeParseException notDate) {
                wrong(column, "a date, such as 2026-11-25");
            }
            return Optional.empty();
        }

        public Optional<Boolean> optionalYesNo(String column) {
            String cell = cell(column);
            if (cell.equals("yes") || cell.equals("no")) {
                return Optional.of(cell.equals("yes"));
            }
            if (!cell.isEmpty()) {
                wrong(column, "yes or no");
            }
            return Optional.empty();
        }

        public Unit unit(String column) {
            String cell = text(column);
            Optional<Unit> unit = Unit.ofUcum(cell);
            if (unit.isEmpty() && !cell.isEmpty()) {
                wrong(column, "one of the UCUM codes " + unitCodes());
            }
            return unit.orElse(Unit.ONE);
        }

        /** The cell is not what it should be. */
        public void wrong(String column, String expected) {
            problems.addOfLine(lastLine, column, Problem.quoted(cell(column)), expected);
        }

        /** Something about the row is not as it should be. */
        public void wrong(String column, String found, String expected) {
            problems.addOfLine(lastLine, column, found, expected);
        }

        /** The same with a consequence of its own. */
        public void wrong(String column, String found, String expected, String consequence) {
            problems.addOfLine(lastLine, column, found, expected, consequence);
        }

        public List<String> cells(List<String> columns) {
            List<String> cells = new ArrayList<>(columns.size());
            for (String column : columns) {
                cells.add(cell(column));
            }
            return cells;
        }
    }

    public static String unitCodes() {
        StringBuilder codes = new StringBuilder();
        for (Unit unit : Unit.values()) {
            codes.append(codes.length() == 0 ? "" : " ").append(unit.ucum());
        }
        return codes.toString();
    }
}
