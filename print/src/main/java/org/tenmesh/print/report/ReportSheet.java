package org.tenmesh.print.report;

import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Uncertainty;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.drawings.SmallDrawings;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Svg;

/** A client report as the words of its sheet, in the order they stand there; the template only sets them. */
record ReportSheet(
        String paper,
        String title,
        boolean invented,
        String laboratory,
        List<String> address,
        String client,
        String submission,
        String revision,
        Optional<String> replaces,
        List<Fact> facts,
        List<Block> blocks,
        List<Matrix> matrices,
        List<Matrix> calculated,
        Optional<AdviceText> advice,
        List<String> legend,
        String symbols,
        List<MethodText> methods,
        List<Held> held,
        List<Held> accepted,
        List<String> cautions,
        String signedBy,
        String signedAt,
        String digest) {

    /** Up to this many soils each get a block of their own; more stand in a matrix. */
    static final int BLOCKS_UP_TO = 5;

    private static final int CHANGES_NAMED = 12;
    private static final int BAR_PX = 224;
    private static final int LINES_ON_A_PAGE = 24;
    private static final int FEW_LINES = 18;
    private static final double MARGIN_MM = 15;
    /** Of the text's width, for the lab numbers and labels. */
    private static final double SOILS_SHARE = 0.2;

    private static final double WIDEST_COLUMN_PT = 44;
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("d MMMM yyyy, HH:mm", Locale.ENGLISH);

    /** A label and what it is. */
    record Fact(String name, String text) {}

    /** A soil as the report names it. */
    record SoilText(String labNumber, String label, String depth) {}

    /**
     * One result.
     *
     * @param text as it left; "held" or "no result" when nothing did
     * @param uncertainty "± 0.1", or empty
     * @param mark letter of the reason it was held; empty when it was not
     * @param words whether words stand where a number would, which may then break
     */
    record Cell(String text, String uncertainty, String mark, boolean asked, boolean words, Bar bar) {}

    /**
     * Where a result lies: a bar over the whole scale, filled as far as the number reaches. It is one box with a wide left
     * border, because each further box costs a tagged document as much as a word does.
     *
     * @param share 0 to 1; negative when there is nothing to draw
     */
    record Bar(double share, double lengthPt) {
        static final Bar NONE = new Bar(-1, 0);

        boolean drawn() {
            return share >= 0;
        }

        String filled() {
            return Svg.number(SmallDrawings.clamp(share) * lengthPt) + "pt";
        }

        String rest() {
            return Svg.number((1 - SmallDrawings.clamp(share)) * lengthPt) + "pt";
        }
    }

    /**
     * One line of a soil's block.
     *
     * @param method its method's number in this report
     */
    record BlockLine(String name, String method, String unit, Cell cell, String low, String high, String drawing) {}

    /**
     * Lines that belong together.
     *
     * @param title empty where none is needed
     */
    record BlockPart(String title, List<BlockLine> lines) {}

    /**
     * One soil by itself.
     *
     * @param whole whether it is short enough to stand on one page
     */
    record Block(SoilText soil, List<BlockPart> parts, boolean whole) {}

    /**
     * A column of a matrix.
     *
     * @param method its method's number in this report
     * @param first whether its method begins here
     */
    record Column(String symbol, String unit, String method, double widthPt, boolean first) {
        String width() {
            return Svg.number(widthPt) + "pt";
        }
    }

    /** Neighbouring columns of one method. */
    record Head(String text, int columns) {}

    /** Advice with the words that must stand with it. */
    record AdviceText(List<String> says, List<Block> blocks, List<Matrix> matrices) {}

    /** A soil's row in a matrix. */
    record Row(SoilText soil, List<Cell> cells) {}

    /**
     * Soils down, analytes across. Widths are in pt, because the renderer cuts a percentage to a whole number.
     *
     * @param soilsPt width of the soils' own column
     */
    record Matrix(List<Head> heads, List<Column> columns, List<Row> rows, double soilsPt) {
        /** Width of the table: few columns do not stretch over the page. */
        String width() {
            return Svg.number(soilsPt
                            + columns.stream().mapToDouble(Column::widthPt).sum()) + "pt";
        }

        String soilsWidth() {
            return Svg.number(soilsPt) + "pt";
        }
    }

    /** An analyte's limits, for the methods section. */
    record AnalyteText(String symbol, String name, String unit, String limit, String scale) {}

    /** A method as the report describes it. */
    record MethodText(
            String number,
            String title,
            String version,
            String summary,
            String note,
            List<String> formulas,
            List<AnalyteText> analytes) {}

    /** What was held, or stands, for one reason. */
    record Held(String mark, String reason, List<HeldLine> lines) {}

    /** Analytes, and of which soils. */
    record HeldLine(String what, List<String> which) {}

    static ReportSheet of(ClientReport report, Paper paper, String digest) {
        Submission submission = report.submission();
        Release release = report.release();
        ZoneId zone = zone(report.laboratory().zone());
        Map<String, String> marks = marks(report);
        boolean single = report.soils().size() <= BLOCKS_UP_TO;
        List<String> address = report.laboratory().address().isBlank()
                ? List.of()
                : report.laboratory().address().lines().map(Glyphs::printable).toList();
        boolean regulated =
                report.soils().stream().anyMatch(soil -> soil.soil().regulated().orElse(false));
        return new ReportSheet(
                paper.css(),
                Glyphs.printable("Soil report " + submission.submission() + ", " + submission.client()),
                report.laboratory().invented(),
                Glyphs.printable(report.laboratory().name()),
                address,
                Glyphs.printable(submission.client()),
                Glyphs.printable(submission.submission()),
                "Revision " + release.revision()
                        + (release.reason().isBlank() ? "" : ": " + Glyphs.printable(release.reason())),
                release.revision() > 1
                        ? Optional.of("This revision replaces revision " + (release.revision() - 1)
                                + " of the same submission in full. Please mark or destroy earlier copies."
                                + changes(report))
                        : Optional.empty(),
                facts(report, zone),
                single ? blocks(report, marks, line -> !isAdvice(line.method())) : List.of(),
                single ? List.of() : matrices(report, marks, paper, line -> !(line.method() instanceof DerivedMethod)),
                single
                        ? List.of()
                        : matrices(
                                report,
                                marks,
                                paper,
                                line -> line.method() instanceof DerivedMethod && !isAdvice(line.method())),
                advice(report, marks, paper, single),
                legend(report, single),
                symbols(report),
                report.methods().stream().map(method -> method(report, method)).toList(),
                held(report, marks),
                accepted(report),
                cautions(regulated, has(report, line -> isAdvice(line.method()))),
                Glyphs.printable(release.signedBy()),
                moment(release.signedAt(), zone),
                digest);
    }

    private static ZoneId zone(String name) {
        try {
            return ZoneId.of(name);
        } catch (DateTimeException unknown) {
            // a report must not fail over a setting; UTC is then printed beside each time
            return ZoneId.of("UTC");
        }
    }

    private static String moment(OffsetDateTime when, ZoneId zone) {
        ZonedDateTime local = when.atZoneSameInstant(zone);
        return TIME.format(local) + " " + zone.getId();
    }

    private static List<Fact> facts(ClientReport report, ZoneId zone) {
        Submission submission = report.submission();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("Client", Glyphs.printable(submission.client())));
        facts.add(new Fact("Submission", Glyphs.printable(submission.submission())));
        facts.add(new Fact("Soils", Integer.toString(report.soils().size())));
        facts.add(new Fact("Received", moment(submission.receivedAt(), zone)));
        facts.add(new Fact("Reported", moment(report.release().signedAt(), zone)));
        submission.promisedOn().ifPresent(day -> facts.add(new Fact("Promised for", DAY.format(day))));
        submission
                .packageName()
                .filter(name -> !name.isBlank())
                .ifPresent(name -> facts.add(new Fact("Package", Glyphs.printable(name))));
        report.pasteWater().ifPresent(water -> facts.add(new Fact("Paste water", Glyphs.printable(water))));
        String origin = submission.originRegion().map(region -> region + ", ").orElse("")
                + submission.originCountry().orElse("");
        if (!origin.isBlank()) {
            facts.add(new Fact("Origin stated", Glyphs.printable(origin.replaceAll(", $", ""))));
        }
        submission
                .note()
                .filter(note -> !note.isBlank())
                .ifPresent(note -> facts.add(new Fact("Client's note", Glyphs.printable(note))));
        return facts;
    }

    private static boolean has(ClientReport report, Predicate<Line> what) {
        return report.soils().stream().flatMap(soil -> soil.lines().stream()).anyMatch(what);
    }

    private static boolean isAdvice(Method method) {
        return method instanceof DerivedMethod derived && derived.advice().isPresent();
    }

    private static Optional<AdviceText> advice(
            ClientReport report, Map<String, String> marks, Paper paper, boolean single) {
        Predicate<Line> given = line -> isAdvice(line.method());
        if (!has(report, given)) {
            return Optional.empty();
        }
        List<String> says = new ArrayList<>();
        for (Method method : report.methods()) {
            if (method instanceof DerivedMethod derived) {
                derived.advice()
                        .ifPresent(advice -> says.add(number(report, method) + " "
                                + Glyphs.printable(method.head().title()) + ", for "
                                + Glyphs.printable(advice.region()) + " and nowhere else. "
                                + Glyphs.printable(advice.deference())));
            }
        }
        return Optional.of(new AdviceText(
                says,
                single ? blocks(report, marks, given) : List.of(),
                single ? List.of() : matrices(report, marks, paper, given)));
    }

    /** What the marks and words in place of numbers mean: those that occur. */
    private static List<String> legend(ClientReport report, boolean single) {
        List<String> legend = new ArrayList<>();
        if (has(report, ReleasedCase.BELOW)) {
            legend.add("< below the reporting limit");
        }
        if (has(report, ReleasedCase.ABOVE)) {
            legend.add("> above what the method can state");
        }
        if (has(report, ReleasedCase.SATURATED)) {
            legend.add((single ? "" : "sat.: ") + "saturated, more than the detector can measure");
        }
        if (has(report, ReleasedCase.NOT_ENOUGH_SOIL)) {
            legend.add((single ? "" : "too little: ") + "not enough soil was sent for this portion");
        }
        if (has(report, ReleasedCase.NUMBER_AT_END)) {
            legend.add(NOT_STATED + ": uncertainty " + Uncertainty.NOT_STATED_AT_END);
        }
        boolean open = report.soils().stream()
                        .map(soil -> soil.lines().size())
                        .distinct()
                        .count()
                > 1;
        if (open && !single) {
            legend.add("– not asked for");
        }
        if (has(report, line -> isHeld(line.result()))) {
            legend.add("▲ with a letter: held back, the reason stands below under that letter");
        }
        return legend;
    }

    /** What a revision says otherwise than the one before it, in a sentence; the first ones by name, the rest counted. */
    private static String changes(ClientReport report) {
        if (report.amendment().isEmpty()) {
            return "";
        }
        List<Amendment.Change> changes = report.amendment().get().changes();
        if (changes.isEmpty()) {
            return " No result has changed.";
        }
        String named = changes.stream()
                .limit(CHANGES_NAMED)
                .map(change -> change.labNumber().text() + " " + change.analyte() + " was "
                        + (change.was().isEmpty() ? "not reported" : change.was()) + ", is "
                        + (change.is().isEmpty() ? "held back" : change.is()))
                .collect(Collectors.joining("; "));
        int more = changes.size() - CHANGES_NAMED;
        return " Changed: " + Glyphs.printable(named)
                + (more > 0 ? "; and " + more + (more == 1 ? " more result." : " more results.") : ".");
    }

    /** A letter for each reason, in the order in which a reader meets them. */
    private static Map<String, String> marks(ClientReport report) {
        Map<String, String> marks = new LinkedHashMap<>();
        for (ReportedSoil soil : report.soils()) {
            for (Line line : soil.lines()) {
                if (isHeld(line.result())) {
                    marks.computeIfAbsent(reason(line.result()), reason -> letter(marks.size()));
                }
            }
        }
        return marks;
    }

    /** In place of an uncertainty where none can be stated; the legend gives it in full. */
    private static final String NOT_STATED = "± n.s.";

    private static boolean isHeld(ReleasedResult result) {
        return result.kind() == ReleasedCase.HELD;
    }

    private static boolean has(ClientReport report, ReleasedCase kind) {
        return has(report, line -> line.result().kind() == kind);
    }

    private static String reason(ReleasedResult result) {
        return result.heldBecause().isBlank() ? "no number was obtained" : result.heldBecause();
    }

    private static String letter(int index) {
        String last = String.valueOf((char) ('a' + index % 26));
        return index < 26 ? last : letter(index / 26 - 1) + last;
    }

    private static Cell cell(Line line, Map<String, String> marks, double columnPt) {
        ReleasedResult result = line.result();
        if (isHeld(result)) {
            String mark = marks.getOrDefault(reason(result), "");
            String text = result.heldBecause().isBlank() ? "none" : "held";
            return new Cell(text, "", mark, true, false, Bar.NONE);
        }
        return new Cell(
                Glyphs.printable(result.reported()),
                uncertainty(result),
                "",
                true,
                !result.kind().isNumeric(),
                bar(line, columnPt));
    }

    private static String uncertainty(ReleasedResult result) {
        if (result.kind() == ReleasedCase.NUMBER_AT_END) {
            return NOT_STATED;
        }
        return result.uncertainty().isBlank() ? "" : "± " + Glyphs.printable(result.uncertainty());
    }

    private static Bar bar(Line line, double columnPt) {
        if (line.share().isEmpty()) {
            return Bar.NONE;
        }
        // below its limit a number has no place on the scale: the bar stays empty
        return new Bar(
                isBelow(line.result()) ? 0 : Math.max(0, line.share().get()), columnPt - ColumnWidths.PADDING_PT);
    }

    private static boolean isBelow(ReleasedResult result) {
        return result.kind() == ReleasedCase.BELOW;
    }

    private static OptionalDouble limitShare(Analyte analyte) {
        if (analyte.reportingLimit().isEmpty() || analyte.scaleHigh() <= analyte.scaleLow()) {
            return OptionalDouble.empty();
        }
        double share = (analyte.reportingLimit().getAsDouble() - analyte.scaleLow())
                / (analyte.scaleHigh() - analyte.scaleLow());
        return share <= 0 ? OptionalDouble.empty() : OptionalDouble.of(Math.min(1, share));
    }

    private static List<Block> blocks(ClientReport report, Map<String, String> marks, Predicate<Line> shown) {
        List<Block> blocks = new ArrayList<>();
        for (ReportedSoil soil : report.soils()) {
            List<Line> lines = soil.lines().stream().filter(shown).toList();
            if (lines.isEmpty()) {
                continue;
            }
            List<BlockPart> parts = new ArrayList<>();
            for (Line line : lines) {
                String title = part(report, line, lines.size());
                if (parts.isEmpty() || !parts.get(parts.size() - 1).title().equals(title)) {
                    parts.add(new BlockPart(title, new ArrayList<>()));
                }
                parts.get(parts.size() - 1).lines().add(blockLine(report, marks, line));
            }
            blocks.add(new Block(soilText(soil.soil()), parts, lines.size() <= LINES_ON_A_PAGE));
        }
        return blocks;
    }

    /** Long blocks name each method once over its lines; short ones only say where what is calculated begins. */
    private static String part(ClientReport report, Line line, int lines) {
        if (isAdvice(line.method())) {
            return "";
        }
        if (lines > FEW_LINES) {
            return number(report, line.method()) + " "
                    + Glyphs.printable(line.method().head().title());
        }
        return line.method() instanceof DerivedMethod ? "calculated from these" : "";
    }

    private static BlockLine blockLine(ClientReport report, Map<String, String> marks, Line line) {
        Cell cell = cell(line, marks, 0);
        Analyte analyte = line.analyte();
        String unit = analyte.unit().spelling();
        OptionalDouble share = isHeld(line.result()) || line.share().isEmpty()
                ? OptionalDouble.empty()
                : OptionalDouble.of(line.share().get());
        boolean number = line.result().kind().isNumeric() || isHeld(line.result());
        return new BlockLine(
                Glyphs.printable(analyte.name()),
                number(report, line.method()),
                number ? unit : "",
                cell,
                number ? Svg.figure(analyte.scaleLow(), 4) : "",
                number ? Svg.figure(analyte.scaleHigh(), 5) : "",
                number
                        ? SmallDrawings.scale(
                                (analyte.name() + " " + cell.text() + " " + unit).strip(),
                                share,
                                limitShare(analyte),
                                isBelow(line.result()),
                                BAR_PX,
                                Palette.PAPER)
                        : "");
    }

    /** The method's place in the report's list; a method that is not listed has none. */
    private static String number(ClientReport report, Method method) {
        int index = report.methods().indexOf(method);
        return index < 0 ? "" : Integer.toString(index + 1);
    }

    private static SoilText soilText(Soil soil) {
        String depth = soil.matter() == Soil.Matter.WATER ? "client's water" : "";
        if (soil.topCm().isPresent() && soil.bottomCm().isPresent()) {
            depth = Svg.figure(soil.topCm().getAsDouble(), 4) + " to "
                    + Svg.figure(soil.bottomCm().getAsDouble(), 4) + " cm";
        }
        return new SoilText(
                Glyphs.printable(soil.labNumber().text()),
                Glyphs.printable(soil.clientLabel().orElse("")),
                depth);
    }

    private record Key(String method, String symbol) {}

    private static List<Matrix> matrices(
            ClientReport report, Map<String, String> marks, Paper paper, Predicate<Line> shown) {
        Map<Key, Line> columns = new LinkedHashMap<>();
        // methods in the report's order, then whatever else a soil carries
        for (Method method : report.methods()) {
            for (Analyte analyte : method.head().analytes()) {
                Key key = new Key(method.id(), analyte.symbol());
                report.soils().stream()
                        .flatMap(soil -> soil.lines().stream())
                        .filter(line -> key(line).equals(key) && shown.test(line))
                        .findFirst()
                        .ifPresent(line -> columns.put(key, line));
            }
        }
        List<Map<Key, Line>> rows = new ArrayList<>();
        Map<Key, Double> needed = new LinkedHashMap<>();
        for (ReportedSoil soil : report.soils()) {
            Map<Key, Line> row = new LinkedHashMap<>();
            soil.lines().stream().filter(shown).forEach(line -> {
                columns.putIfAbsent(key(line), line);
                row.put(key(line), line);
                needed.merge(key(line), neededPt(report, line), Math::max);
            });
            rows.add(row);
        }
        List<Matrix> matrices = new ArrayList<>();
        double tablePt = (paper.widthMm() - 2 * MARGIN_MM) * 72 / 25.4;
        for (List<Key> part : parts(new ArrayList<>(columns.keySet()), needed, tablePt * (1 - SOILS_SHARE))) {
            matrices.add(matrix(report, marks, tablePt, part, columns, rows, needed));
        }
        return matrices;
    }

    /** The room a column needs for this line of it, pt. */
    private static double neededPt(ClientReport report, Line line) {
        double head = ColumnWidths.head(
                Glyphs.printable(line.analyte().symbol()),
                number(report, line.method()),
                line.analyte().unit());
        if (isHeld(line.result())) {
            return Math.max(head, ColumnWidths.number("▲ held", ""));
        }
        String reported = Glyphs.printable(shortened(line.result()));
        return Math.max(
                head,
                line.result().kind().isNumeric()
                        ? ColumnWidths.number(reported, uncertainty(line.result()))
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

    private static Matrix matrix(
            ClientReport report,
            Map<String, String> marks,
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
                    number(report, line.method()),
                    widths[heads.size()],
                    first && !groups.isEmpty()));
            String title = number(report, line.method()) + " "
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
        for (int i = 0; i < report.soils().size(); i++) {
            List<Cell> cells = new ArrayList<>();
            for (int c = 0; c < shown.size(); c++) {
                Line line = rows.get(i).get(shown.get(c));
                double columnPt = heads.get(c).widthPt();
                cells.add(line == null ? new Cell("–", "", "", false, false, Bar.NONE) : brief(line, marks, columnPt));
            }
            if (cells.stream().anyMatch(Cell::asked)) {
                lines.add(new Row(soilText(report.soils().get(i).soil()), cells));
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

    private static Cell brief(Line line, Map<String, String> marks, double columnPt) {
        Cell cell = cell(line, marks, columnPt);
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

    private static String symbols(ClientReport report) {
        Set<String> said = new LinkedHashSet<>();
        for (ReportedSoil soil : report.soils()) {
            for (Line line : soil.lines()) {
                Analyte analyte = line.analyte();
                if (!analyte.symbol().equals(analyte.name())) {
                    said.add(Glyphs.printable(analyte.symbol()) + " " + Glyphs.printable(analyte.name()));
                }
            }
        }
        return String.join(", ", said);
    }

    /** "1 pH in water, 1:1; 2 …": what the small numbers stand for. */
    String methodKey() {
        return String.join(
                "; ",
                methods.stream()
                        .map(method -> method.number() + " " + method.title())
                        .toList());
    }

    private static MethodText method(ClientReport report, Method method) {
        Method.Head head = method.head();
        List<AnalyteText> analytes = new ArrayList<>();
        for (Analyte analyte : head.analytes()) {
            analytes.add(new AnalyteText(
                    Glyphs.printable(analyte.symbol()),
                    Glyphs.printable(analyte.name()),
                    analyte.unit().spelling(),
                    analyte.reportingLimit().isPresent()
                            ? Svg.figure(analyte.reportingLimit().getAsDouble(), 4)
                            : "none",
                    Svg.figure(analyte.scaleLow(), 4) + " to " + Svg.figure(analyte.scaleHigh(), 5)));
        }
        return new MethodText(
                number(report, method),
                Glyphs.printable(head.title()),
                "version of " + DAY.format(head.version()),
                Glyphs.printable(head.summary()),
                Glyphs.printable(head.note()),
                formulas(method),
                analytes);
    }

    /** How a result is calculated from others. */
    private static List<String> formulas(Method method) {
        if (!(method instanceof DerivedMethod derived)) {
            return List.of();
        }
        List<String> formulas = new ArrayList<>();
        for (Computed one : derived.results()) {
            one.formula().ifPresent(formula -> formulas.add(Glyphs.printable(one.name() + " = " + formula.text())));
        }
        return formulas;
    }

    private static List<Held> held(ClientReport report, Map<String, String> marks) {
        List<Held> held = new ArrayList<>();
        marks.forEach((reason, mark) -> held.add(reason(
                report,
                mark,
                reason,
                line -> isHeld(line.result()) && reason(line.result()).equals(reason))));
        return held;
    }

    /** Results that stand although a check failed, by the check, where the laboratory tells its clients. */
    private static List<Held> accepted(ClientReport report) {
        if (!report.laboratory().acceptedFailures().onReport()) {
            return List.of();
        }
        return report.soils().stream()
                .flatMap(soil -> soil.lines().stream())
                .map(line -> line.result().despite())
                .filter(despite -> !despite.isEmpty())
                .distinct()
                .map(despite -> reason(
                        report, "", despite, line -> line.result().despite().equals(despite)))
                .toList();
    }

    private static Held reason(ClientReport report, String mark, String reason, Predicate<Line> applies) {
        // soils with the same analytes share one line: a bracket of forty soils is one fact
        Map<String, List<String>> soilsByAnalytes = new LinkedHashMap<>();
        int soils = 0;
        for (ReportedSoil soil : report.soils()) {
            List<String> analytes = soil.lines().stream()
                    .filter(applies)
                    .map(line -> line.analyte().name())
                    .toList();
            if (!analytes.isEmpty()) {
                soils++;
                soilsByAnalytes
                        .computeIfAbsent(String.join(", ", analytes), key -> new ArrayList<>())
                        .add(soil.soil().labNumber().text());
            }
        }
        List<HeldLine> lines = new ArrayList<>();
        boolean all = soils == report.soils().size() && soils > 1 && soilsByAnalytes.size() == 1;
        soilsByAnalytes.forEach((analytes, numbers) -> lines.add(new HeldLine(
                Glyphs.printable(analytes),
                all
                        ? List.of("all " + numbers.size() + " soils")
                        : numbers.stream().map(Glyphs::printable).toList())));
        return new Held(mark, Glyphs.printable(reason), lines);
    }

    private static List<String> cautions(boolean regulated, boolean advises) {
        List<String> cautions = new ArrayList<>();
        cautions.add(
                "Results relate to the items as received. Sampling, and whether a sample stands for its field, were "
                        + "the client's part.");
        cautions.add(
                "The bars show where a number lies between the two ends of its method's plain scale. The scale is no "
                        + "interpretation: it does not say what is low, high, or enough for any crop.");
        cautions.add((advises
                        ? "Advice in this report stands apart from its results and holds for the region it names. "
                        : "This report advises no rates. ")
                + "How much lime or fertiliser to use, if any, belongs to local "
                + "recommendations, the law of the place, and licensed or certified practice. Lime and fertiliser can "
                + "injure: read the product's label and safety sheet before handling.");
        cautions.add(
                "Numbers made by different methods or extractants are not exchangeable. Compare only like with like.");
        cautions.add("± is the expanded uncertainty with coverage factor k = 2, about 95 %, of the determination in the"
                + " laboratory; it does not hold the uncertainty of sampling. < stands before a reporting limit,"
                + " not before a result.");
        if (regulated) {
            cautions.add(
                    "This submission holds regulated soil. What is left of it is kept apart and destroyed under the "
                            + "laboratory's permit; it cannot be returned by ordinary post.");
        }
        cautions.add("This report may be copied in full only.");
        return cautions;
    }
}
