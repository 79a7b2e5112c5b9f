package org.tenmesh.print.report;

import java.util.List;
import java.util.Optional;
import org.tenmesh.print.svg.Svg;

/** A client report as the words of its sheet, in the order they stand there; the template only sets them. */
record ReportSheet(
        String paper,
        String title,
        boolean invented,
        boolean preview,
        Letterhead letterhead,
        List<Fact> facts,
        Optional<String> replaces,
        Optional<String> unprintable,
        boolean pageForEachSoil,
        List<Block> blocks,
        List<Band> bands,
        Optional<AdviceText> advice,
        List<String> legend,
        String key,
        List<Held> held,
        List<Held> accepted,
        List<Changed> changed,
        List<MethodText> methods,
        List<Fact> about,
        List<String> cautions,
        Signature signature) {

    /**
     * Who writes to whom.
     *
     * @param contents "24 soils, 0 to 20 cm"
     */
    record Letterhead(
            String laboratory, String address, String client, String contents, String submission, String revision) {}

    /** A label and what it is. */
    record Fact(String name, String text) {}

    /** A soil as the report names it. */
    record SoilText(String labNumber, String label, String depth) {
        /** The three in one line. */
        String line() {
            return labNumber + (label.isEmpty() ? "" : " · " + label) + (depth.isEmpty() ? "" : " · " + depth);
        }
    }

    /** What a cell holds. */
    enum Holds {
        NUMBER,
        WORDS,
        HELD,
        NOTHING
    }

    /**
     * One result.
     *
     * @param mark before it: that it changed, is extrapolated, or is held
     * @param text as it left; the letter of the reason where it is held
     * @param uncertainty "± 0.1", or empty
     */
    record Cell(Holds holds, String mark, String text, String uncertainty) {
        static final Cell NOT_ASKED = new Cell(Holds.NOTHING, "", "–", "");

        boolean held() {
            return holds == Holds.HELD;
        }

        boolean words() {
            return holds == Holds.WORDS;
        }

        boolean asked() {
            return holds != Holds.NOTHING;
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
     * A column of a table.
     *
     * @param unit empty where the head of its group gives it
     * @param method its method's number in this report; empty where the head of its group gives it
     */
    record Column(String name, String unit, String method, double widthPt) {
        String width() {
            return Svg.number(widthPt) + "pt";
        }
    }

    /** Neighbouring columns of one method, with its number in this report. */
    record Head(String text, String method, String unit, int columns) {}

    /** Advice with the words that must stand with it. */
    record AdviceText(List<String> says, List<Block> blocks, List<Band> bands) {}

    /** A soil's row in a table. */
    record Row(SoilText soil, List<Cell> cells) {}

    /**
     * Soils down, as many results across as a page is wide; what does not fit follows in the next band. Widths are in pt, because the
     * renderer cuts a percentage to a whole number.
     *
     * @param labelPt width of the clients' labels; 0 where there are none
     * @param depthPt width of the depths; 0 where one depth holds for all
     * @param below whether the uncertainties stand below the numbers, not beside them
     */
    record Band(
            List<Head> heads,
            List<Column> columns,
            List<Row> rows,
            double labNumberPt,
            double labelPt,
            double depthPt,
            boolean below) {
        String width() {
            return pt(soilsPt() + columns.stream().mapToDouble(Column::widthPt).sum());
        }

        double soilsPt() {
            return labNumberPt + labelPt + depthPt;
        }

        String labNumberWidth() {
            return pt(labNumberPt);
        }

        String labelWidth() {
            return pt(labelPt);
        }

        String depthWidth() {
            return pt(depthPt);
        }

        boolean labelled() {
            return labelPt > 0;
        }

        boolean layered() {
            return depthPt > 0;
        }

        int soilColumns() {
            return 1 + (labelled() ? 1 : 0) + (layered() ? 1 : 0);
        }

        private static String pt(double width) {
            return Svg.number(width) + "pt";
        }
    }

    /**
     * A method as the report describes it.
     *
     * @param reports "phosphorus, below 3 mg/kg not stated"
     */
    record MethodText(String number, String title, String version, String how, String reports) {}

    /** What was held, or stands, for one reason. */
    record Held(String mark, String reason, List<HeldLine> lines) {}

    /** Analytes, and of which soils. */
    record HeldLine(String what, List<String> which) {}

    /** What one result was and is, soil by soil. */
    record Changed(String what, List<String> soils) {}

    /**
     * Who released it.
     *
     * @param digest empty for a preview
     */
    record Signature(String by, String at, String digest) {
        /** For the foot of each page. */
        String shortDigest() {
            return digest.isEmpty() ? "" : spaced(digest.substring(0, 16), 4);
        }

        String longDigest() {
            return spaced(digest, 8);
        }

        private static String spaced(String digits, int by) {
            return digits.replaceAll("(.{" + by + "})(?!$)", "$1 ");
        }
    }
}
