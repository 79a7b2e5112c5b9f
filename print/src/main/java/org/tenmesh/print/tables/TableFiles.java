package org.tenmesh.print.tables;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;
import org.dhatim.fastexcel.Workbook;
import org.dhatim.fastexcel.Worksheet;

/** Tables as CSV and as a workbook. Cells that a spreadsheet would take for a formula are made plain text. */
public final class TableFiles {
    private static final String FORMULA_SIGNS = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20";
    private static final Pattern NUMBER = Pattern.compile("-?\\d{1,15}(\\.\\d{1,15})?");
    /** Longest name of a sheet, and what it may not hold (Office Open XML, ECMA-376 part 1, 18.2.19). */
    private static final int LONGEST_SHEET = 31;

    private static final Pattern NOT_IN_A_SHEET = Pattern.compile("[\\[\\]:*?/\\\\']");

    private TableFiles() {}

    /**
     * One table.
     *
     * @param caption what it shows
     * @param rows as many cells as fit; a shorter row is filled up with empty ones
     */
    public record Table(String caption, List<String> columns, List<List<String>> rows) {
        public Table {
            columns = List.copyOf(columns);
            rows = rows.stream().map(List::copyOf).toList();
        }
    }

    /** CSV after RFC 4180 in UTF-8, the first line the names of the columns. */
    public static byte[] csv(Table table) {
        StringBuilder out = new StringBuilder();
        line(out, table.columns(), table.columns().size());
        table.rows().forEach(row -> line(out, row, table.columns().size()));
        return out.toString().getBytes(StandardCharsets.UTF_8);
    }

    private static void line(StringBuilder out, List<String> cells, int columns) {
        for (int i = 0; i < Math.max(columns, cells.size()); i++) {
            String text = i < cells.size() ? disarmed(cells.get(i)) : "";
            boolean quoted = text.chars().anyMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
            out.append(i > 0 ? "," : "").append(quoted ? '"' + text.replace("\"", "\"\"") + '"' : text);
        }
        out.append("\r\n");
    }

    private static String disarmed(String text) {
        return text.isEmpty()
                        || FORMULA_SIGNS.indexOf(text.charAt(0)) < 0
                        || NUMBER.matcher(text).matches()
                ? text
                : "'" + text;
    }

    /** A workbook with a sheet for each table, plain numbers as numbers with the decimals they are written with. */
    public static byte[] xlsx(List<Table> tables) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (Workbook workbook = new Workbook(bytes, "Tenmesh", "1.0")) {
            Set<String> names = new HashSet<>();
            for (Table table : tables) {
                sheet(workbook.newWorksheet(name(table.caption(), names)), table);
            }
        } catch (IOException failed) {
            throw new UncheckedIOException("the tables cannot be written as a workbook", failed);
        }
        return bytes.toByteArray();
    }

    private static void sheet(Worksheet sheet, Table table) {
        for (int column = 0; column < table.columns().size(); column++) {
            sheet.value(0, column, table.columns().get(column));
            sheet.style(0, column).bold().set();
        }
        sheet.freezePane(0, 1);
        int at = 1;
        for (List<String> row : table.rows()) {
            for (int column = 0; column < row.size(); column++) {
                cell(sheet, at, column, row.get(column));
            }
            at++;
        }
    }

    private static void cell(Worksheet sheet, int row, int column, String text) {
        if (!NUMBER.matcher(text).matches()) {
            // A text cell is never evaluated, whatever it begins with.
            sheet.value(row, column, text);
            return;
        }
        sheet.value(row, column, Double.parseDouble(text));
        int point = text.indexOf('.');
        sheet.style(row, column)
                .format(point < 0 ? "0" : "0." + "0".repeat(text.length() - point - 1))
                .set();
    }

    private static String name(String caption, Set<String> taken) {
        String plain = NOT_IN_A_SHEET.matcher(caption).replaceAll(" ").strip();
        String name = cut(plain.isEmpty() ? "Table" : plain, LONGEST_SHEET);
        for (int i = 2; !taken.add(name.toLowerCase(Locale.ROOT)); i++) {
            String end = " " + i;
            name = cut(plain.isEmpty() ? "Table" : plain, LONGEST_SHEET - end.length()) + end;
        }
        return name;
    }

    private static String cut(String text, int most) {
        return text.length() <= most ? text : text.substring(0, most).strip();
    }
}
