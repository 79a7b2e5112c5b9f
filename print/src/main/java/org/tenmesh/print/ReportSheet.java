package org.tenmesh.print;

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
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;

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
        String symbols,
        List<MethodText> methods,
        List<Held> held,
        List<String> cautions,
        String signedBy,
        String signedAt,
        String digest) {

    /** Up to this many soils each get a block of their own; more stand in a matrix. */
    static final int BLOCKS_UP_TO = 5;

    private static final int MATRIX_COLUMNS = 16;
    private static final int BAR_PX = 224;
    private static final double MARGIN_MM = 15;
    private static final double COLUMNS_PERCENT = 80;
    private static final double WIDEST_COLUMN_PERCENT = 9;
    private static final double CELL_PADDING_PT = 4;
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
     */
    record Cell(String text, String uncertainty, String mark, boolean asked, Bar bar) {}

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

    /** One soil by itself. */
    record Block(SoilText soil, List<BlockLine> lines) {}

    /**
     * A column of a matrix.
     *
     * @param method its method's number in this report
     */
    record Column(String symbol, String unit, String method) {}

    /** A soil's row in a matrix. */
    record Row(SoilText soil, List<Cell> cells) {}

    /** Soils down, analytes across. */
    record Matrix(List<Column> columns, List<Row> rows) {
        /** Width of one column, % of the table; the first column takes what the others leave. */
        String columnWidth() {
            return Svg.number(columnPercent(columns.size())) + "%";
        }

        String labelWidth() {
            return Svg.number(100 - columnPercent(columns.size()) * columns.size()) + "%";
        }
    }

    private static double columnPercent(int columns) {
        return Math.min(WIDEST_COLUMN_PERCENT, COLUMNS_PERCENT / Math.max(1, columns));
    }

    /** An analyte's limits, for the methods section. */
    record AnalyteText(String symbol, String name, String unit, String limit, String scale) {}

    /** A method as the report describes it. */
    record MethodText(
            String number,
            String title,
            String version,
            String summary,
            List<String> sources,
            String note,
            List<AnalyteText> analytes) {}

    /** What was held for one reason. */
    record Held(String mark, String reason, List<HeldLine> lines) {}

    /** Analytes held, and for which soils. */
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
                                + " of the same submission in full. Please mark or destroy earlier copies.")
                        : Optional.empty(),
                facts(report, zone),
                single ? blocks(report, marks) : List.of(),
                single ? List.of() : matrices(report, marks, paper),
                symbols(report),
                report.methods().stream().map(method -> method(report, method)).toList(),
                held(report, marks),
                cautions(regulated),
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

    private static boolean isHeld(ReleasedResult result) {
        return !result.heldBecause().isBlank() || result.reported().isBlank();
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
            return new Cell(text, "", mark, true, Bar.NONE);
        }
        String uncertainty = result.uncertainty().isBlank() ? "" : "± " + Glyphs.printable(result.uncertainty());
        return new Cell(Glyphs.printable(result.reported()), uncertainty, "", true, bar(line, columnPt));
    }

    private static Bar bar(Line line, double columnPt) {
        if (line.share().isEmpty()) {
            return Bar.NONE;
        }
        // below its limit a number has no place on the scale: the bar stays empty
        return new Bar(isBelow(line.result()) ? 0 : Math.max(0, line.share().get()), columnPt - CELL_PADDING_PT);
    }

    private static boolean isBelow(ReleasedResult result) {
        return result.reported().startsWith("<");
    }

    private static OptionalDouble limitShare(Analyte analyte) {
        if (analyte.reportingLimit().isEmpty() || analyte.scaleHigh() <= analyte.scaleLow()) {
            return OptionalDouble.empty();
        }
        double share = (analyte.reportingLimit().getAsDouble() - analyte.scaleLow())
                / (analyte.scaleHigh() - analyte.scaleLow());
        return share <= 0 ? OptionalDouble.empty() : OptionalDouble.of(Math.min(1, share));
    }

    private static List<Block> blocks(ClientReport report, Map<String, String> marks) {
        List<Block> blocks = new ArrayList<>();
        for (ReportedSoil soil : report.soils()) {
            List<BlockLine> lines = new ArrayList<>();
            for (Line line : soil.lines()) {
                Cell cell = cell(line, marks, 0);
                Analyte analyte = line.analyte();
                String unit = analyte.unit().spelling();
                OptionalDouble share = isHeld(line.result()) || line.share().isEmpty()
                        ? OptionalDouble.empty()
                        : OptionalDouble.of(line.share().get());
                lines.add(new BlockLine(
                        Glyphs.printable(analyte.name()),
                        number(report, line.method()),
                        unit,
                        cell,
                        Svg.figure(analyte.scaleLow(), 4),
                        Svg.figure(analyte.scaleHigh(), 5),
                        Drawings.scale(
                                (analyte.name() + " " + cell.text() + " " + unit).strip(),
                                share,
                                limitShare(analyte),
                                isBelow(line.result()),
                                BAR_PX,
                                Palette.PAPER)));
            }
            blocks.add(new Block(soilText(soil.soil()), lines));
        }
        return blocks;
    }

    /** The method's place in the report's list; a method that is not listed has none. */
    private static String number(ClientReport report, Method method) {
        int index = report.methods().indexOf(method);
        return index < 0 ? "" : Integer.toString(index + 1);
    }

    private static SoilText soilText(Soil soil) {
        String depth = "";
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

    private static List<Matrix> matrices(ClientReport report, Map<String, String> marks, Paper paper) {
        Map<Key, Line> columns = new LinkedHashMap<>();
        // methods in the report's order, then whatever else a soil carries
        for (Method method : report.methods()) {
            for (Analyte analyte : method.head().analytes()) {
                Key key = new Key(method.id(), analyte.symbol());
                report.soils().stream()
                        .flatMap(soil -> soil.lines().stream())
                        .filter(line -> key(line).equals(key))
                        .findFirst()
                        .ifPresent(line -> columns.put(key, line));
            }
        }
        for (ReportedSoil soil : report.soils()) {
            for (Line line : soil.lines()) {
                columns.putIfAbsent(key(line), line);
            }
        }
        List<Map<Key, Line>> rows = new ArrayList<>();
        for (ReportedSoil soil : report.soils()) {
            Map<Key, Line> row = new LinkedHashMap<>();
            soil.lines().forEach(line -> row.put(key(line), line));
            rows.add(row);
        }
        List<Key> keys = new ArrayList<>(columns.keySet());
        int parts = Math.max(1, (keys.size() + MATRIX_COLUMNS - 1) / MATRIX_COLUMNS);
        int perPart = (keys.size() + parts - 1) / parts;
        List<Matrix> matrices = new ArrayList<>();
        for (int part = 0; part < parts; part++) {
            List<Key> shown = keys.subList(part * perPart, Math.min(keys.size(), (part + 1) * perPart));
            double columnPt = (paper.widthMm() - 2 * MARGIN_MM) * 72 / 25.4 * columnPercent(shown.size()) / 100;
            List<Column> heads = new ArrayList<>();
            for (Key key : shown) {
                Line line = columns.get(key);
                if (line == null) {
                    continue;
                }
                heads.add(new Column(
                        Glyphs.printable(line.analyte().symbol()),
                        line.analyte().unit().spelling(),
                        number(report, line.method())));
            }
            List<Row> lines = new ArrayList<>();
            for (int i = 0; i < report.soils().size(); i++) {
                List<Cell> cells = new ArrayList<>();
                for (Key key : shown) {
                    Line line = rows.get(i).get(key);
                    cells.add(line == null ? new Cell("–", "", "", false, Bar.NONE) : cell(line, marks, columnPt));
                }
                lines.add(new Row(soilText(report.soils().get(i).soil()), cells));
            }
            matrices.add(new Matrix(heads, lines));
        }
        return matrices;
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
                head.sources().stream()
                        .map(source -> Glyphs.printable(source.text()) + " ("
                                + source.standing().word() + ")")
                        .toList(),
                Glyphs.printable(head.note()),
                analytes);
    }

    private static List<Held> held(ClientReport report, Map<String, String> marks) {
        List<Held> held = new ArrayList<>();
        marks.forEach((reason, mark) -> {
            // soils held for the same analytes share one line: a bracket of forty soils is one fact
            Map<String, List<String>> soilsByAnalytes = new LinkedHashMap<>();
            int soils = 0;
            for (ReportedSoil soil : report.soils()) {
                List<String> analytes = soil.lines().stream()
                        .filter(line ->
                                isHeld(line.result()) && reason(line.result()).equals(reason))
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
            held.add(new Held(mark, Glyphs.printable(reason), lines));
        });
        return held;
    }

    private static List<String> cautions(boolean regulated) {
        List<String> cautions = new ArrayList<>();
        cautions.add(
                "Results relate to the items as received. Sampling, and whether a sample stands for its field, were "
                        + "the client's part.");
        cautions.add(
                "The bars show where a number lies between the two ends of its method's plain scale. The scale is no "
                        + "interpretation: it does not say what is low, high, or enough for any crop.");
        cautions.add("This report advises no rates. How much lime or fertiliser to use, if any, belongs to local "
                + "recommendations, the law of the place, and licensed or certified practice. Lime and fertiliser can "
                + "injure: read the product's label and safety sheet before handling.");
        cautions.add(
                "Numbers made by different methods or extractants are not exchangeable. Compare only like with like.");
        cautions.add(
                "± is the expanded uncertainty with coverage factor k = 2, about 95 %, of the determination in the "
                        + "laboratory; it does not hold the uncertainty of sampling. < stands before a reporting limit, not before "
                        + "a result.");
        if (regulated) {
            cautions.add(
                    "This submission holds regulated soil. What is left of it is kept apart and destroyed under the "
                            + "laboratory's permit; it cannot be returned by ordinary post.");
        }
        cautions.add("This report may be copied in full only.");
        return cautions;
    }
}
