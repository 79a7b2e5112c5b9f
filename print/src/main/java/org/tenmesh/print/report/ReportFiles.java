package org.tenmesh.print.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.regex.Pattern;
import org.dhatim.fastexcel.Workbook;
import org.dhatim.fastexcel.Worksheet;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;

/**
 * A client report as a table for other programs: the same texts as on the PDF, one row for each result. Numbers are those that were
 * reported, rounded, not those behind them.
 */
public final class ReportFiles {
    private static final List<String> HEAD = List.of(
            "submission",
            "revision",
            "lab_number",
            "client_label",
            "top_cm",
            "bottom_cm",
            "method",
            "method_version",
            "analyte",
            "name",
            "unit",
            "reported",
            "uncertainty",
            "held_because",
            "before");

    private static final Pattern NUMBER = Pattern.compile("-?\\d+(\\.\\d+)?");

    /** A spreadsheet would take a text with one of these in front for a formula. */
    private static final String FORMULA_SIGNS = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20";

    private ReportFiles() {}

    /**
     * CSV after RFC 4180 in UTF-8: one line for each result with its unit in UCUM. A label or client's text that begins with a sign of a
     * formula has an apostrophe before it.
     */
    public static byte[] csv(ClientReport report) {
        StringBuilder text = new StringBuilder();
        line(text, HEAD);
        rows(report).forEach(row -> line(text, row));
        return text.toString().getBytes(StandardCharsets.UTF_8);
    }

    /** A workbook: the table of the report with numbers as numbers, then one row for each result as in {@link #csv}. */
    public static byte[] xlsx(ClientReport report) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (Workbook workbook = new Workbook(bytes, "Tenmesh", "1.0")) {
            table(workbook.newWorksheet("Report"), report);
            Worksheet all = workbook.newWorksheet("Results");
            for (int column = 0; column < HEAD.size(); column++) {
                all.value(0, column, HEAD.get(column));
            }
            all.freezePane(0, 1);
            int at = 1;
            for (List<String> row : rows(report)) {
                for (int column = 0; column < row.size(); column++) {
                    all.value(at, column, row.get(column));
                }
                at++;
            }
        } catch (IOException failed) {
            throw new UncheckedIOException(
                    "the table of submission " + report.submission().submission() + " cannot be written", failed);
        }
        return bytes.toByteArray();
    }

    private static void table(Worksheet sheet, ClientReport report) {
        Map<String, Line> columns = new LinkedHashMap<>();
        report.soils().forEach(soil -> soil.lines().forEach(line -> columns.putIfAbsent(key(line), line)));
        sheet.value(0, 0, "lab number");
        sheet.value(0, 1, "your label");
        sheet.value(0, 2, "depth");
        Map<String, Integer> places = new HashMap<>();
        int place = 3;
        for (Map.Entry<String, Line> column : columns.entrySet()) {
            Line line = column.getValue();
            String unit = line.analyte().unit().spelling();
            sheet.value(
                    0,
                    place,
                    line.analyte().name() + (unit.isEmpty() ? "" : ", " + unit) + " ("
                            + line.method().head().title() + ")");
            sheet.value(0, place + 1, "±");
            places.put(column.getKey(), place);
            place += 2;
        }
        sheet.freezePane(1, 1);
        int row = 1;
        for (ReportedSoil soil : report.soils()) {
            sheet.value(row, 0, soil.soil().labNumber().text());
            sheet.value(row, 1, soil.soil().clientLabel().orElse(""));
            sheet.value(row, 2, ReportCells.depth(soil.soil()));
            for (Line line : soil.lines()) {
                int at = places.getOrDefault(key(line), 0);
                ReleasedResult result = line.result();
                cell(
                        sheet,
                        row,
                        at,
                        ReportCells.isHeld(result) ? "held: " + ReportCells.reason(result) : result.reported());
                cell(sheet, row, at + 1, result.uncertainty());
            }
            row++;
        }
    }

    /** A plain number as a number with the decimals it was reported with; any other text, such as "&lt; 3", as a text. */
    private static void cell(Worksheet sheet, int row, int column, String text) {
        if (!NUMBER.matcher(text).matches()) {
            sheet.value(row, column, text);
            return;
        }
        sheet.value(row, column, Double.parseDouble(text));
        int point = text.indexOf('.');
        String decimals = point < 0 ? "0" : "0." + "0".repeat(text.length() - point - 1);
        sheet.style(row, column).format(decimals).set();
    }

    private static String key(Line line) {
        return line.method().id() + "\n" + line.analyte().symbol();
    }

    private static List<List<String>> rows(ClientReport report) {
        Map<ReportCells.Of, String> before = new HashMap<>();
        report.amendment()
                .map(Amendment::changes)
                .orElse(List.of())
                .forEach(change -> before.put(
                        new ReportCells.Of(change.labNumber(), change.method(), change.analyte()),
                        change.was().isEmpty() ? "not reported" : change.was()));
        List<List<String>> rows = new ArrayList<>();
        for (ReportedSoil reported : report.soils()) {
            Soil soil = reported.soil();
            for (Line line : reported.lines()) {
                ReleasedResult result = line.result();
                rows.add(List.of(
                        harmless(report.submission().submission()),
                        Integer.toString(report.release().revision()),
                        harmless(soil.labNumber().text()),
                        harmless(soil.clientLabel().orElse("")),
                        number(soil.topCm()),
                        number(soil.bottomCm()),
                        result.method(),
                        result.methodVersion(),
                        result.analyte(),
                        line.analyte().name(),
                        result.unit(),
                        result.reported(),
                        result.uncertainty(),
                        ReportCells.isHeld(result) ? ReportCells.reason(result) : "",
                        before.getOrDefault(
                                new ReportCells.Of(result.labNumber(), result.method(), result.analyte()), "")));
            }
        }
        return rows;
    }

    private static String number(OptionalDouble number) {
        return number.isPresent() ? Double.toString(number.getAsDouble()).replaceAll("\\.0$", "") : "";
    }

    private static String harmless(String text) {
        return !text.isEmpty() && FORMULA_SIGNS.indexOf(text.charAt(0)) >= 0 ? "'" + text : text;
    }

    private static void line(StringBuilder text, List<String> fields) {
        for (int i = 0; i < fields.size(); i++) {
            String field = fields.get(i);
            boolean quoted = field.chars().anyMatch(c -> c == ',' || c == '"' || c == '\n' || c == '\r');
            text.append(i == 0 ? "" : ",").append(quoted ? '"' + field.replace("\"", "\"\"") + '"' : field);
        }
        text.append("\r\n");
    }
}
