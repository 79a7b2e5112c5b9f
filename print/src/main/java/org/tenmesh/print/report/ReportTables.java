package org.tenmesh.print.report;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.drawings.SmallDrawings;
import org.tenmesh.print.report.ReportSheet.Band;
import org.tenmesh.print.report.ReportSheet.Block;
import org.tenmesh.print.report.ReportSheet.BlockLine;
import org.tenmesh.print.report.ReportSheet.BlockPart;
import org.tenmesh.print.report.ReportSheet.Cell;
import org.tenmesh.print.report.ReportSheet.Column;
import org.tenmesh.print.report.ReportSheet.Head;
import org.tenmesh.print.report.ReportSheet.Row;
import org.tenmesh.print.report.ReportSheet.SoilText;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Svg;

/** The soils of a report: each in a block of its own, or all in one table with results across. */
record ReportTables(ReportCells cells, Sheet sheet) {
    private static final int BAR_PX = 300;
    private static final int LINES_ON_A_PAGE = 22;

    /** So many soils are easily followed from one band to the next. */
    private static final int FEW_SOILS = 12;

    /** Heights of a row with the uncertainties beside and below, as the style sheet makes them, pt. */
    private static final double LINE_PT = 13;

    private static final double TWO_LINES_PT = 17.4;

    /** A line of names and of units in a table's head, and what is around them, pt. */
    private static final double NAME_LINE_PT = 8;

    private static final double AROUND_HEAD_PT = 21;

    /** After a lab number, a label or a depth, with what the renderer rounds up. */
    private static final double SOIL_PADDING_PT = 8;

    private static final double WIDEST_COLUMN_PT = 66;
    private static final double WIDEST_LABEL_PT = 120;
    private static final double WIDEST_LAB_NUMBER_PT = 90;

    /** From this many columns on a method's title stands over them. */
    private static final int TITLED_FROM = 3;

    List<Block> blocks(Predicate<Line> shown) {
        List<Block> blocks = new ArrayList<>();
        for (ReportedSoil soil : cells.report().soils()) {
            List<Line> lines = soil.lines().stream().filter(shown).toList();
            if (lines.isEmpty()) {
                continue;
            }
            DecimalColumn values =
                    DecimalColumn.of(lines.stream().map(Line::result).toList());
            List<BlockPart> parts = new ArrayList<>();
            for (Line line : lines) {
                String title = part(line);
                if (parts.isEmpty() || !parts.get(parts.size() - 1).title().equals(title)) {
                    parts.add(new BlockPart(title, new ArrayList<>()));
                }
                parts.get(parts.size() - 1).lines().add(blockLine(line, values));
            }
            blocks.add(new Block(ReportCells.soilText(soil.soil()), parts, lines.size() <= LINES_ON_A_PAGE));
        }
        return blocks;
    }

    /** Where what is calculated begins. */
    private static String part(Line line) {
        return line.method().isCalculated() && !ReportCells.isAdvice(line.method()) ? "calculated from these" : "";
    }

    private BlockLine blockLine(Line line, DecimalColumn values) {
        Cell cell = cells.cell(line, values);
        Analyte analyte = line.analyte();
        String unit = analyte.unit().spelling();
        OptionalDouble share = cell.held() || line.share().isEmpty()
                ? OptionalDouble.empty()
                : OptionalDouble.of(line.share().get());
        boolean number = !cell.words();
        return new BlockLine(
                Glyphs.printable(analyte.name()),
                cells.number(line.method()),
                number ? unit : "",
                cell,
                number ? Svg.figure(analyte.scaleLow(), 4) : "",
                number ? Svg.figure(analyte.scaleHigh(), 5) : "",
                number
                        ? SmallDrawings.scale(
                                (analyte.name() + " "
                                                + (cell.held()
                                                        ? "held"
                                                        : line.result().reported()) + " " + unit)
                                        .strip(),
                                share,
                                ReportCells.limitShare(analyte),
                                ReportCells.isBelow(line.result()),
                                BAR_PX,
                                Palette.PAPER)
                        : "");
    }

    private record Key(String method, String symbol) {}

    /** Everything of one column of the report. */
    private record Shown(Key key, Line sample, List<ReleasedResult> results, DecimalColumn decimals) {}

    /** The lines of the report by column and soil. */
    private record Laid(Map<Key, Shown> columns, List<Map<Key, Line>> rows) {
        private List<Line> of(Method method) {
            return columns.values().stream()
                    .map(Shown::sample)
                    .filter(line -> line.method().equals(method))
                    .toList();
        }

        /** Whether a method's title stands over its columns. */
        boolean titled(Method method) {
            return of(method).size() >= TITLED_FROM;
        }

        /** The unit that stands with the title, where all columns share it; else empty. */
        String unit(Method method) {
            List<Unit> units = of(method).stream()
                    .map(line -> line.analyte().unit())
                    .distinct()
                    .toList();
            return titled(method) && units.size() == 1 ? units.get(0).spelling() : "";
        }

        /** The unit that stands in a column's own head. */
        String own(Line line) {
            return unit(line.method()).isEmpty() ? line.analyte().unit().spelling() : "";
        }
    }

    private Laid laid(Predicate<Line> shown) {
        Map<Key, Line> samples = new LinkedHashMap<>();
        // methods in the report's order, then whatever else a soil carries
        for (Method method : cells.report().methods()) {
            for (Analyte analyte : method.head().analytes()) {
                Key key = new Key(method.id(), analyte.symbol());
                cells.report().soils().stream()
                        .flatMap(soil -> soil.lines().stream())
                        .filter(line -> key(line).equals(key) && shown.test(line))
                        .findFirst()
                        .ifPresent(line -> samples.put(key, line));
            }
        }
        List<Map<Key, Line>> rows = new ArrayList<>();
        Map<Key, List<ReleasedResult>> results = new HashMap<>();
        for (ReportedSoil soil : cells.report().soils()) {
            Map<Key, Line> row = new LinkedHashMap<>();
            soil.lines().stream().filter(shown).forEach(line -> {
                samples.putIfAbsent(key(line), line);
                row.put(key(line), line);
                results.computeIfAbsent(key(line), key -> new ArrayList<>()).add(line.result());
            });
            rows.add(row);
        }
        Map<Key, Shown> columns = new LinkedHashMap<>();
        samples.forEach((key, sample) -> {
            List<ReleasedResult> its = results.getOrDefault(key, List.of());
            columns.put(key, new Shown(key, sample, its, DecimalColumn.of(its)));
        });
        return new Laid(columns, rows);
    }

    /**
     * The table in as many bands as its columns need. Uncertainties stand beside their numbers, or below them where that saves a page or,
     * of many soils, a band.
     *
     * @param usedPt what stands above it on its first page, pt
     */
    List<Band> bands(Predicate<Line> shown, double usedPt) {
        Laid laid = laid(shown);
        if (laid.columns().isEmpty()) {
            return List.of();
        }
        List<SoilText> soils = cells.report().soils().stream()
                .map(soil -> ReportCells.soilText(soil.soil()))
                .toList();
        double labNumberPt = Math.min(
                WIDEST_LAB_NUMBER_PT,
                soils.stream()
                                .mapToDouble(soil -> Glyphs.widthPt(soil.labNumber(), ColumnWidths.LAB_NUMBER_PT, true))
                                .max()
                                .orElse(0)
                        + SOIL_PADDING_PT);
        labNumberPt = Math.max(labNumberPt, 46);
        double label = soils.stream()
                .mapToDouble(soil -> Glyphs.widthPt(soil.label(), ColumnWidths.LABEL_PT, false))
                .max()
                .orElse(0);
        double labelPt = label == 0 ? 0 : Math.max(42, Math.min(WIDEST_LABEL_PT, label + SOIL_PADDING_PT));
        boolean layered = soils.stream().map(SoilText::depth).distinct().count() > 1;
        double depthPt = layered
                ? soils.stream()
                                .mapToDouble(soil -> Glyphs.widthPt(soil.depth(), ColumnWidths.LABEL_PT, false))
                                .max()
                                .orElse(0)
                        + SOIL_PADDING_PT
                : 0;
        double room = sheet.textPt() - labNumberPt - labelPt - depthPt;
        Map<Key, Double> beside = needed(laid, false);
        Map<Key, Double> below = needed(laid, true);
        List<List<Key>> wide = parts(List.copyOf(laid.columns().keySet()), beside, room);
        List<List<Key>> narrow = parts(List.copyOf(laid.columns().keySet()), below, room);
        int saved = pages(headsPt(laid, wide, beside, room), soils.size(), LINE_PT, usedPt)
                - pages(headsPt(laid, narrow, below, room), soils.size(), TWO_LINES_PT, usedPt);
        boolean two = saved > 0 || saved == 0 && narrow.size() < wide.size() && soils.size() > FEW_SOILS;
        List<Band> bands = new ArrayList<>();
        for (List<Key> part : two ? narrow : wide) {
            double[] widths = ColumnWidths.shared(
                    part.stream()
                            .map(key -> (two ? below : beside).getOrDefault(key, 0.0))
                            .toList(),
                    room,
                    WIDEST_COLUMN_PT);
            bands.add(band(laid, part, widths, soils, labNumberPt, labelPt, depthPt, two));
        }
        return bands;
    }

    /** How many pages bands with these heads take. */
    private int pages(List<Double> headsPt, int soils, double rowPt, double usedPt) {
        int page = 1;
        double left = sheet.bodyPt() - usedPt;
        for (double head : headsPt) {
            left -= head;
            for (int soil = 0; soil < soils; soil++) {
                if (left < rowPt) {
                    page++;
                    left = sheet.bodyPt() - head;
                }
                left -= rowPt;
            }
        }
        return page;
    }

    /** The heights of the bands' heads. */
    private static List<Double> headsPt(Laid laid, List<List<Key>> parts, Map<Key, Double> needed, double room) {
        List<Double> heads = new ArrayList<>();
        for (List<Key> part : parts) {
            double[] widths = ColumnWidths.shared(
                    part.stream().map(key -> needed.getOrDefault(key, 0.0)).toList(), room, WIDEST_COLUMN_PT);
            int lines = 1;
            for (int i = 0; i < widths.length; i++) {
                Shown shown = laid.columns().get(part.get(i));
                if (shown != null) {
                    lines = Math.max(
                            lines,
                            ColumnWidths.lines(
                                    shown.sample().analyte().name(),
                                    ColumnWidths.NAME_PT,
                                    false,
                                    widths[i] - ColumnWidths.PADDING_PT));
                }
            }
            heads.add(AROUND_HEAD_PT + NAME_LINE_PT * (lines + 1));
        }
        return heads;
    }

    private Map<Key, Double> needed(Laid laid, boolean below) {
        Map<Key, Double> needed = new HashMap<>();
        laid.columns().forEach((key, column) -> {
            Line sample = column.sample();
            double widest = ColumnWidths.head(
                    Glyphs.printable(sample.analyte().name()),
                    laid.titled(sample.method()) ? "" : cells.number(sample.method()),
                    laid.own(sample));
            for (Map<Key, Line> row : laid.rows()) {
                Line line = row.get(key);
                if (line != null) {
                    widest = Math.max(widest, neededPt(line, column.decimals(), below));
                }
            }
            needed.put(key, widest);
        });
        return needed;
    }

    private double neededPt(Line line, DecimalColumn decimals, boolean below) {
        Cell cell = brief(line, decimals);
        return cell.words()
                ? ColumnWidths.words(cell.mark(), cell.text())
                : ColumnWidths.number(cell.mark(), cell.text(), cell.uncertainty(), below);
    }

    /** Columns dealt out to as few bands as possible, of even width; a method is kept whole where that takes no further band. */
    private static List<List<Key>> parts(List<Key> keys, Map<Key, Double> needed, double room) {
        List<List<Key>> single = new ArrayList<>();
        List<List<Key>> whole = new ArrayList<>();
        for (Key key : keys) {
            single.add(List.of(key));
            List<Key> last = whole.isEmpty() ? List.of() : whole.get(whole.size() - 1);
            if (!last.isEmpty() && last.get(0).method().equals(key.method())) {
                last.add(key);
            } else {
                whole.add(new ArrayList<>(List.of(key)));
            }
        }
        List<List<Key>> loose = even(single, needed, room);
        List<List<Key>> kept = even(whole, needed, room);
        boolean fits = kept.stream().allMatch(part -> width(part, needed) <= room);
        return fits && kept.size() <= loose.size() ? kept : loose;
    }

    /** Pieces put into as few bands as they need, the widest of them as narrow as possible. */
    private static List<List<Key>> even(List<List<Key>> pieces, Map<Key, Double> needed, double room) {
        List<List<Key>> fewest = filled(pieces, needed, room);
        double low = 0;
        double high = room;
        List<List<Key>> best = fewest;
        for (int step = 0; step < 12; step++) {
            double width = (low + high) / 2;
            List<List<Key>> tried = filled(pieces, needed, width);
            if (tried.size() <= fewest.size()) {
                best = tried;
                high = width;
            } else {
                low = width;
            }
        }
        return best;
    }

    private static List<List<Key>> filled(List<List<Key>> pieces, Map<Key, Double> needed, double room) {
        List<List<Key>> parts = new ArrayList<>();
        List<Key> part = new ArrayList<>();
        for (List<Key> piece : pieces) {
            if (!part.isEmpty() && width(part, needed) + width(piece, needed) > room) {
                parts.add(part);
                part = new ArrayList<>();
            }
            part.addAll(piece);
        }
        if (!part.isEmpty()) {
            parts.add(part);
        }
        return parts;
    }

    private static double width(List<Key> keys, Map<Key, Double> needed) {
        return keys.stream().mapToDouble(key -> needed.getOrDefault(key, 0.0)).sum();
    }

    private Band band(
            Laid laid,
            List<Key> part,
            double[] widths,
            List<SoilText> soils,
            double labNumberPt,
            double labelPt,
            double depthPt,
            boolean below) {
        List<Column> columns = new ArrayList<>();
        List<Head> heads = new ArrayList<>();
        int from = 0;
        while (from < part.size()) {
            int to = from;
            while (to < part.size()
                    && part.get(to).method().equals(part.get(from).method())) {
                to++;
            }
            List<Line> group = new ArrayList<>();
            for (Key key : part.subList(from, to)) {
                Shown shown = laid.columns().get(key);
                if (shown != null) {
                    group.add(shown.sample());
                }
            }
            head(laid, group, from, widths, columns, heads);
            from = to;
        }
        List<Row> rows = new ArrayList<>();
        for (int i = 0; i < soils.size(); i++) {
            List<Cell> row = new ArrayList<>();
            for (Key key : part) {
                Line line = laid.rows().get(i).get(key);
                Shown shown = laid.columns().get(key);
                row.add(line == null || shown == null ? Cell.NOT_ASKED : brief(line, shown.decimals()));
            }
            if (row.stream().anyMatch(Cell::asked)) {
                rows.add(new Row(soils.get(i), row));
            }
        }
        return new Band(heads, columns, rows, labNumberPt, labelPt, depthPt, below);
    }

    /** The heads of one method's columns: its title over several of them, and their unit with it where they share one. */
    private void head(Laid laid, List<Line> group, int from, double[] widths, List<Column> columns, List<Head> heads) {
        Method method = group.get(0).method();
        // a column or two of a method that goes on from the band above have no room for its title
        boolean titled = laid.titled(method) && group.size() >= TITLED_FROM;
        for (int i = 0; i < group.size(); i++) {
            Analyte analyte = group.get(i).analyte();
            columns.add(new Column(
                    Glyphs.printable(analyte.name()),
                    titled ? laid.own(group.get(i)) : analyte.unit().spelling(),
                    titled ? "" : cells.number(method),
                    widths[from + i]));
        }
        heads.add(
                titled
                        ? new Head(
                                Glyphs.printable(method.head().title()),
                                cells.number(method),
                                laid.unit(method),
                                group.size())
                        : new Head("", "", "", group.size()));
    }

    private Cell brief(Line line, DecimalColumn decimals) {
        Cell cell = cells.cell(line, decimals);
        return cell.words()
                ? new Cell(cell.holds(), cell.mark(), Glyphs.printable(shortened(line.result())), "")
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
