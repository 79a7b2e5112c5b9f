package org.tenmesh.print.report;

import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.report.ReportSheet.Cell;
import org.tenmesh.print.report.ReportSheet.Holds;
import org.tenmesh.print.report.ReportSheet.SoilText;
import org.tenmesh.print.svg.Svg;

/**
 * The results of one report as cells of its sheet.
 *
 * @param letters one for each reason that something was held for
 * @param changed what this revision says otherwise than the one before it
 */
record ReportCells(ClientReport report, Map<String, String> letters, Set<Of> changed) {
    /** In place of an uncertainty where none can be stated; the legend gives it in full. */
    static final String NOT_STATED = "n.s.";

    /** Before a number below the lowest standard of its calibration. */
    static final String BELOW_STANDARDS = "†";

    /** Before a number that the revision before did not give. */
    static final String CHANGED = "r";

    /** Before the letter of a reason. */
    static final String HELD = "▲";

    /** Which result of which soil. */
    record Of(LabNumber labNumber, String method, String analyte) {}

    static ReportCells of(ClientReport report) {
        Set<Of> changed = new HashSet<>();
        for (Amendment.Change change :
                report.amendment().map(Amendment::changes).orElse(List.of())) {
            changed.add(new Of(change.labNumber(), change.method(), change.analyte()));
        }
        return new ReportCells(report, lettersOf(report), changed);
    }

    /** A letter for each reason, in the order in which a reader meets them. */
    private static Map<String, String> lettersOf(ClientReport report) {
        Map<String, String> letters = new LinkedHashMap<>();
        for (ReportedSoil soil : report.soils()) {
            for (Line line : soil.lines()) {
                if (isHeld(line.result())) {
                    letters.computeIfAbsent(reason(line.result()), reason -> letter(letters.size()));
                }
            }
        }
        return letters;
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
        return new SoilText(
                Glyphs.printable(soil.labNumber().text()),
                Glyphs.printable(soil.clientLabel().orElse("")),
                depth(soil));
    }

    static String depth(Soil soil) {
        if (soil.topCm().isPresent() && soil.bottomCm().isPresent()) {
            return Svg.figure(soil.topCm().getAsDouble(), 4) + " to "
                    + Svg.figure(soil.bottomCm().getAsDouble(), 4) + " cm";
        }
        return soil.matter() == Soil.Matter.WATER ? "client's water" : "";
    }

    Cell cell(Line line, DecimalColumn column) {
        ReleasedResult result = line.result();
        String mark = mark(result);
        if (isHeld(result)) {
            return new Cell(Holds.HELD, mark + HELD, letters.getOrDefault(reason(result), ""), "");
        }
        String reported = Glyphs.printable(result.reported());
        if (!result.kind().isNumeric()) {
            return new Cell(Holds.WORDS, mark, reported, "");
        }
        return new Cell(
                Holds.NUMBER,
                mark,
                column.value(reported),
                column.uncertainty(
                        result.kind() == ReleasedCase.NUMBER_AT_END
                                ? NOT_STATED
                                : Glyphs.printable(result.uncertainty())));
    }

    String mark(ReleasedResult result) {
        return (changed.contains(new Of(result.labNumber(), result.method(), result.analyte())) ? CHANGED : "")
                + (result.kind() == ReleasedCase.NUMBER_BELOW_STANDARDS ? BELOW_STANDARDS : "");
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
