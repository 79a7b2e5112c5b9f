package org.tenmesh.print.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.drawings.SmallDrawings;
import org.tenmesh.print.report.ReportSheet.Bar;
import org.tenmesh.print.report.ReportSheet.Block;
import org.tenmesh.print.report.ReportSheet.BlockLine;
import org.tenmesh.print.report.ReportSheet.BlockPart;
import org.tenmesh.print.report.ReportSheet.Cell;
import org.tenmesh.print.report.ReportSheet.Column;
import org.tenmesh.print.report.ReportSheet.Head;
import org.tenmesh.print.report.ReportSheet.Matrix;
import org.tenmesh.print.report.ReportSheet.Row;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Svg;

/** The soils of a report: few each in a block of their own, more in matrices with analytes across. */
record ReportTables(ReportCells cells, Paper paper) {
    private static final int BAR_PX = 224;
    private static final int LINES_ON_A_PAGE = 24;
    private static final int FEW_LINES = 18;
    private static final double MARGIN_MM = 15;
    /** Of the text's width, for the lab numbers and labels. */
    private static final double SOILS_SHARE = 0.2;

    private static final double WIDEST_COLUMN_PT = 44;

    List<Block> blocks(Predicate<Line> shown) {
        List<Block> blocks = new ArrayList<>();
        for (ReportedSoil soil : cells.report().soils()) {
            List<Line> lines = soil.lines().stream().filter(shown).toList();
            if (lines.isEmpty()) {
                continue;
            }
            List<BlockPart> parts = new ArrayList<>();
            for (Line line : lines) {
                String title = part(line, lines.size());
                if (parts.isEmpty() || !parts.get(parts.size() - 1).title().equals(title)) {
                    parts.add(new BlockPart(title, new ArrayList<>()));
                }
                parts.get(parts.size() - 1).lines().add(blockLine(line));
            }
            blocks.add(new Block(ReportCells.soilText(soil.soil()), parts, lines.size() <= LINES_ON_A_PAGE));
        }
        return blocks;
    }

    /** Long blocks name each method once over its lines; short ones only say where what is calculated begins. */
    private String part(Line line, int lines) {
        if (ReportCells.isAdvice(line.method())) {
            return "";
        }
        if (lines > FEW_LINES) {
            return cells.number(line.method()) + " "
                    + Glyphs.printable(line.method().head().title());
        }
        return line.method().isCalculated() ? "calculated from these" : "";
    }

    private BlockLine blockLine(Line line) {
        Cell cell = cells.cell(line, 0);
        Analyte analyte = line.analyte();
        String unit = analyte.unit().spelling();
        OptionalDouble share = ReportCells.isHeld(line.result()) || line.share().isEmpty()
                ? OptionalDouble.empty()
                : OptionalDouble.of(line.share().get());
        boolean number = line.result().kind().isNumeric() || ReportCells.isHeld(line.result());
        return new BlockLine(
                Glyphs.printable(analyte.name()),
                cells.number(line.method()),
                number ? unit : "",
                cell,
                number ? Svg.figure(analyte.scaleLow(), 4) : "",
                number ? Svg.figure(analyte.scaleHigh(), 5) : "",
                number
                        ? SmallDrawings.scale(
                                (analyte.name() + " " + cell.text() + " " + unit).strip(),
                                share,
                                ReportCells.limitShare(analyte),
                                ReportCells.isBelow(line.result()),
                                BAR_PX,
                                Palette.PAPER)
                        : "");
    }

    private record Key(String method, String symbol) {}

    List<Matrix> matrices(Predicate<Line> shown) {
        Map<Key, Line> columns = new LinkedHashMap<>();
        // methods in the report's order, then whatever else a soil carries
        for (Method method : cells.report().methods()) {
            for (Analyte analyte : method.head().analytes()) {
                Key key = new Key(method.id(), analyte.symbol());
                cells.report().soils().stream()
                        .flatMap(soil -> soil.lines().stream())
                        .filter(line -> key(line).equals(key) && shown.test(line))
                        .findFirst()
                        .ifPresent(line -> columns.put(key, line));
            }
        }
        List<Map<Key, Line>> rows = new ArrayList<>();
        Map<Key, Double> needed = new LinkedHashMap<>();
        for (ReportedSoil soil : cells.report().soils()) {
            Map<Key, Line> row = new LinkedHashMap<>();
            soil.lines().stream().filter(shown).forEach(line -> {
                columns.putIfAbsent(key(line), line);
                row.put(key(line), line);
                needed.merge(key(line), neededPt(line), Math::max);
            });
            rows.add(row);
        }
        List<Matrix> matrices = new ArrayList<>();
        double tablePt = (paper.widthMm() - 2 * MARGIN_MM) * 72 / 25.4;
        for (List<Key> part : parts(new ArrayList<>(columns.keySet()), needed, tablePt * (1 - SOILS_SHARE))) {
            matrices.add(matrix(tablePt, part, columns, rows, needed));
        }
        return matrices;
    }

    /** The room a column needs for this line of it, pt. */
    private double neededPt(Line line) {
        double head = ColumnWidths.head(
                Glyphs.printable(line.analyte().symbol()),
                cells.number(line.method()),
                line.analyte().unit());
        if (ReportCells.isHeld(line.result())) {
            return Math.max(head, ColumnWidths.number("▲ held", ""));
        }
        String reported = Glyphs.printable(shortened(line.result()));
        return Math.max(
                head,
                line.result().kind().isNumeric()
                        ? ColumnWidths.number(reported, ReportCells.uncertainty(line.result()))
                        : ColumnWidths.words(reported));
    }

    /** Columns dealt out to tables of even width, a method kept whole where it fits into one. */
    private static List<List<Key>> parts(List<Key> keys, Map<Key, Double> needed, double room) {
        double all =
                keys.stream().mapToDouble(key -> needed.getOrDefault(key, 0.0)).sum();
        double even = all / Math.max(1, Math.ceil(all / room));
        List<List<Key>> parts = new ArrayList<>();
        List<Key> part = new ArrayList<>();
        double used = 0;
        int from = 0;
        while (from < keys.size()) {
            int to = from;
            double width = 0;
            while (to < keys.size()
                    && keys.get(to).method().equals(keys.get(from).method())) {
                double next = needed.getOrDefault(keys.get(to), 0.0);
                if (width + next > room) {
                    break;
                }
                width += next;
                to++;
            }
            if (!part.isEmpty() && (used + width > room || used >= even)) {
                parts.add(part);
                part = new ArrayList<>();
                used = 0;
            }
            part.addAll(keys.subList(from, Math.max(to, from + 1)));
            used += width;
            from = Math.max(to, from + 1);
        }
        if (!part.isEmpty()) {
            parts.add(part);
        }
        return parts;
    }

    private Matrix matrix(
            double tablePt,
            List<Key> shown,
            Map<Key, Line> columns,
            List<Map<Key, Line>> rows,
            Map<Key, Double> needed) {
        double[] widths = ColumnWidths.shared(
                shown.stream().map(key -> needed.getOrDefault(key, 0.0)).toList(),
                tablePt * (1 - SOILS_SHARE),
                WIDEST_COLUMN_PT);
        List<Column> heads = new ArrayList<>();
        List<Head> groups = new ArrayList<>();
        String before = "";
        for (Key key : shown) {
            Line line = columns.get(key);
            if (line == null) {
                continue;
            }
            boolean first = !key.method().equals(before);
            before = key.method();
            heads.add(new Column(
                    Glyphs.printable(line.analyte().symbol()),
                    line.analyte().unit().spelling(),
                    cells.number(line.method()),
                    widths[heads.size()],
                    first && !groups.isEmpty()));
            String title = cells.number(line.method()) + " "
                    + Glyphs.printable(line.method().head().title());
            if (first) {
                groups.add(new Head(title, 1));
            } else {
                int last = groups.size() - 1;
                groups.set(
                        last, new Head(groups.get(last).text(), groups.get(last).columns() + 1));
            }
        }
        List<Row> lines = new ArrayList<>();
        for (int i = 0; i < cells.report().soils().size(); i++) {
            List<Cell> row = new ArrayList<>();
            for (int c = 0; c < shown.size(); c++) {
                Line line = rows.get(i).get(shown.get(c));
                double columnPt = heads.get(c).widthPt();
                row.add(line == null ? new Cell("–", "", "", false, false, Bar.NONE) : brief(line, columnPt));
            }
            if (row.stream().anyMatch(Cell::asked)) {
                lines.add(new Row(
                        ReportCells.soilText(cells.report().soils().get(i).soil()), row));
            }
        }
        return new Matrix(
                groups.stream()
                        .map(head -> head.columns() > 2 ? head : new Head("", head.columns()))
                        .toList(),
                heads,
                lines,
                tablePt * SOILS_SHARE);
    }

    private Cell brief(Line line, double columnPt) {
        Cell cell = cells.cell(line, columnPt);
        return cell.words()
                ? new Cell(
                        Glyphs.printable(shortened(line.result())),
                        cell.uncertainty(),
                        cell.mark(),
                        cell.asked(),
                        true,
                        cell.bar())
                : cell;
    }

    /** Words in place of a number as a narrow column takes them; the legend gives them in full. */
    private static String shortened(ReleasedResult result) {
        return switch (result.kind()) {
            case SATURATED -> "sat.";
            case NOT_ENOUGH_SOIL -> "too little";
            default -> result.reported();
        };
    }

    private static Key key(Line line) {
        return new Key(line.method().id(), line.analyte().symbol());
    }
}
