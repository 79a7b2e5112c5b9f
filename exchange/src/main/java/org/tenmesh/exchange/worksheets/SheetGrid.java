package org.tenmesh.exchange.worksheets;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.dhatim.fastexcel.reader.Cell;
import org.dhatim.fastexcel.reader.CellAddress;
import org.dhatim.fastexcel.reader.CellType;
import org.dhatim.fastexcel.reader.ExcelReaderException;
import org.dhatim.fastexcel.reader.ReadableWorkbook;
import org.dhatim.fastexcel.reader.ReadingOptions;
import org.dhatim.fastexcel.reader.Row;
import org.dhatim.fastexcel.reader.Sheet;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.TextFile;

/** The sheets of a workbook, or the one sheet of a CSV file, as texts with addresses. */
final class SheetGrid {
    private static final int MOST_COLUMNS = 200;
    // Bytes; a hundred times what a client's sheet of soils holds. The workbook's reader keeps it in memory several
    // times over.
    private static final long MOST_UNPACKED = 25_000_000;
    // Digits before or behind the point; a cell such as 1e2000000000 would be written out with as many.
    private static final int MOST_DIGITS = 40;

    private SheetGrid() {}

    /**
     * One row.
     *
     * @param number from 1, as the sheet shows it
     */
    record Line(int number, List<SheetCell> cells) {
        boolean blank() {
            return cells.stream().allMatch(cell -> cell.text().isEmpty());
        }
    }

    /**
     * One cell.
     *
     * @param isDate whether the sheet shows its number as a date
     */
    record SheetCell(String address, String text, boolean isDate, boolean isError) {}

    /** Every sheet in order; problems when the bytes are none. */
    static List<List<Line>> of(Path path, byte[] bytes, Limits limits, FileProblems problems) {
        if (bytes.length == 0) {
            problems.add(0, "", "an empty file", "a sheet with a header row");
            return List.of();
        }
        if (ReadableWorkbook.isOLE2Header(bytes)) {
            problems.add(0, "", "an old binary workbook", "an .xlsx workbook or a CSV file");
            return List.of();
        }
        return ReadableWorkbook.isOOXMLZipHeader(bytes)
                ? workbook(path, bytes, limits, problems)
                : csv(bytes, limits, problems);
    }

    private static List<List<Line>> csv(byte[] bytes, Limits limits, FileProblems problems) {
        List<Line> lines = new ArrayList<>();
        TextFile.decode(bytes, problems.file(), problems.told(), problems.consequence())
                .ifPresent(text -> {
                    try {
                        Iterator<CsvRecord> records = CsvReader.builder()
                                .fieldSeparator(delimiter(text))
                                .skipEmptyLines(false)
                                .allowExtraFields(true)
                                .allowMissingFields(true)
                                .ofCsvRecord(text)
                                .iterator();
                        while (records.hasNext()) {
                            CsvRecord record = records.next();
                            int number = (int) record.getStartingLineNumber();
                            if (tooMany(lines.size(), record.getFieldCount(), number, limits, problems)) {
                                return;
                            }
                            List<SheetCell> cells = new ArrayList<>();
                            for (int i = 0; i < record.getFieldCount(); i++) {
                                if (record.getField(i).indexOf('\n') >= 0) {
                                    problems.add(
                                            number,
                                            new CellAddress(number - 1, i).toString(),
                                            "a cell that goes on over several lines",
                                            "one line for each row (a quote may not be closed)");
                                }
                                cells.add(new SheetCell(
                                        new CellAddress(number - 1, i).toString(),
                                        record.getField(i).strip(),
                                        false,
                                        false));
                            }
                            lines.add(new Line(number, cells));
                        }
                    } catch (CsvParseException broken) {
                        problems.add(lines.size() + 1, "", "broken CSV", "RFC 4180 CSV: quotes closed, doubled inside");
                    }
                });
        return List.of(lines);
    }

    /** The most frequent of comma, semicolon and tab. */
    private static char delimiter(String text) {
        char best = ',';
        long most = 0;
        for (char candidate : new char[] {',', ';', '\t'}) {
            long count = text.chars().filter(c -> c == candidate).count();
            if (count > most) {
                most = count;
                best = candidate;
            }
        }
        return best;
    }

    private static boolean tooMany(int rows, int columns, int number, Limits limits, FileProblems problems) {
        if (rows >= limits.worksheetRows()) {
            problems.add(number, "", "more than " + limits.worksheetRows() + " rows", "at most that many");
            return true;
        }
        if (columns > MOST_COLUMNS) {
            problems.add(number, "", columns + " columns", "at most " + MOST_COLUMNS);
            return true;
        }
        return false;
    }

    private static List<List<Line>> workbook(Path path, byte[] bytes, Limits limits, FileProblems problems) {
        List<List<Line>> sheets = new ArrayList<>();
        try {
            long most = Math.min(limits.fileBytes(), MOST_UNPACKED);
            if (!unpacksWithin(path, most)) {
                problems.add(
                        0, "", "a workbook that unpacks to more than " + TextFile.megabytes(most), "a sheet of soils");
                return List.of();
            }
            try (ReadableWorkbook workbook =
                    new ReadableWorkbook(new ByteArrayInputStream(bytes), new ReadingOptions(true, true))) {
                for (Sheet sheet : workbook.getSheets().toList()) {
                    List<Line> lines = new ArrayList<>();
                    try (Stream<Row> rows = sheet.openStream()) {
                        for (Iterator<Row> each = rows.iterator(); each.hasNext(); ) {
                            Row row = each.next();
                            if (tooMany(lines.size(), row.getCellCount(), row.getRowNum(), limits, problems)) {
                                return List.of();
                            }
                            lines.add(line(row));
                        }
                    }
                    sheets.add(lines);
                }
            }
        } catch (IOException | RuntimeException broken) {
            // The library throws whatever its parsing meets: addresses, numbers and rows that are none.
            String why = broken instanceof ExcelReaderException || broken instanceof IOException
                    ? String.valueOf(broken.getMessage())
                    : "something in it is not as in a workbook (" + broken.getMessage() + ")";
            problems.add(0, "", "a workbook that cannot be read: " + why, "an .xlsx workbook");
            return List.of();
        }
        return sheets;
    }

    // Sizes in the archive's directory can lie; the bytes that come out cannot.
    private static boolean unpacksWithin(Path path, long most) throws IOException {
        byte[] buffer = new byte[1 << 16];
        long total = 0;
        try (ZipFile zip = new ZipFile(path.toFile())) {
            for (ZipEntry entry : zip.stream().toList()) {
                try (InputStream in = zip.getInputStream(entry)) {
                    for (int read = in.read(buffer); read >= 0; read = in.read(buffer)) {
                        total += read;
                        if (total > most) {
                            return false;
                        }
                    }
                }
            }
        }
        return true;
    }

    private static Line line(Row row) {
        List<SheetCell> cells = new ArrayList<>();
        for (int i = 0; i < row.getCellCount(); i++) {
            String address = new CellAddress(row.getRowNum() - 1, i).toString();
            cells.add(row.getOptionalCell(i)
                    .map(cell -> cell(address, cell))
                    .orElse(new SheetCell(address, "", false, false)));
        }
        return new Line(row.getRowNum(), cells);
    }

    private static SheetCell cell(String address, Cell cell) {
        if (cell.getType() == CellType.ERROR) {
            return new SheetCell(address, String.valueOf(cell.getRawValue()), false, true);
        }
        if (cell.getType() == CellType.NUMBER) {
            BigDecimal number = cell.asNumber().stripTrailingZeros();
            String text = Math.abs((long) number.scale()) > MOST_DIGITS || number.precision() > MOST_DIGITS
                    ? String.valueOf(cell.getRawValue())
                    : number.toPlainString();
            return new SheetCell(address, text, isDate(cell), false);
        }
        Object value = cell.getValue();
        return new SheetCell(address, value == null ? "" : value.toString().strip(), false, false);
    }

    private static boolean isDate(Cell cell) {
        String format = cell.getDataFormatString();
        // Quoted words and [Red] may hold these letters without making a date.
        return format != null
                && format.replaceAll("\"[^\"]*\"|\\[[^]]*]|\\\\.", "").matches("(?i).*[dmy].*");
    }
}
