package org.tenmesh.print.report;

import java.util.List;
import java.util.Optional;
import org.tenmesh.print.drawings.SmallDrawings;
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

    /** "1 pH in water, 1:1; 2 …": what the small numbers stand for. */
    String methodKey() {
        return String.join(
                "; ",
                methods.stream()
                        .map(method -> method.number() + " " + method.title())
                        .toList());
    }
}
