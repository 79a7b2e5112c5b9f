package org.tenmesh.print.report;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.report.ReportSheet.Bar;
import org.tenmesh.print.report.ReportSheet.Cell;
import org.tenmesh.print.report.ReportSheet.SoilText;
import org.tenmesh.print.svg.Svg;

/**
 * The results of one report as cells of its sheet.
 *
 * @param marks a letter for each reason that something was held for
 */
record ReportCells(ClientReport report, Map<String, String> marks) {
    /** In place of an uncertainty where none can be stated; the legend gives it in full. */
    static final String NOT_STATED = "± n.s.";

    /** Beside a number below the lowest standard of its calibration. */
    static final String BELOW_STANDARDS = "†";

    static ReportCells of(ClientReport report) {
        return new ReportCells(report, lettersOf(report));
    }

    /** A letter for each reason, in the order in which a reader meets them. */
    private static Map<String, String> lettersOf(ClientReport report) {
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

    private static String letter(int index) {
        String last = String.valueOf((char) ('a' + index % 26));
        return index < 26 ? last : letter(index / 26 - 1) + last;
    }

    static boolean isHeld(ReleasedResult result) {
        return result.kind() == ReleasedCase.HELD;
    }

    static String reason(ReleasedResult result) {
        return result.heldBecause().isBlank() ? "no number was obtained" : result.heldBecause();
    }

    static boolean isBelow(ReleasedResult result) {
        return result.kind() == ReleasedCase.BELOW;
    }

    static boolean isAdvice(Method method) {
        return method.regionalAdvice().isPresent();
    }

    boolean has(Predicate<Line> what) {
        return report.soils().stream().flatMap(soil -> soil.lines().stream()).anyMatch(what);
    }

    boolean has(ReleasedCase kind) {
        return has(line -> line.result().kind() == kind);
    }

    /** The method's place in the report's list; a method that is not listed has none. */
    String number(Method method) {
        int index = report.methods().indexOf(method);
        return index < 0 ? "" : Integer.toString(index + 1);
    }

    static SoilText soilText(Soil soil) {
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

    Cell cell(Line line, double columnPt) {
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

    static String uncertainty(ReleasedResult result) {
        if (result.kind() == ReleasedCase.NUMBER_AT_END) {
            return NOT_STATED;
        }
        String mark = result.kind() == ReleasedCase.NUMBER_BELOW_STANDARDS ? " " + BELOW_STANDARDS : "";
        return result.uncertainty().isBlank() ? mark.strip() : "± " + Glyphs.printable(result.uncertainty()) + mark;
    }

    private static Bar bar(Line line, double columnPt) {
        if (line.share().isEmpty()) {
            return Bar.NONE;
        }
        // below its limit a number has no place on the scale: the bar stays empty
        return new Bar(
                isBelow(line.result()) ? 0 : Math.max(0, line.share().get()), columnPt - ColumnWidths.PADDING_PT);
    }

    static OptionalDouble limitShare(Analyte analyte) {
        if (analyte.reportingLimit().isEmpty() || analyte.scaleHigh() <= analyte.scaleLow()) {
            return OptionalDouble.empty();
        }
        double share = (analyte.reportingLimit().getAsDouble() - analyte.scaleLow())
                / (analyte.scaleHigh() - analyte.scaleLow());
        return share <= 0 ? OptionalDouble.empty() : OptionalDouble.of(Math.min(1, share));
    }
}
