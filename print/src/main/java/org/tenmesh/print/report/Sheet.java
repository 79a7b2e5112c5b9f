package org.tenmesh.print.report;

import org.tenmesh.core.judgement.ReportForm.Paper;

/**
 * A page of a report, which lies across, pt.
 *
 * @param css its name in a style sheet
 */
record Sheet(String css, double widthPt, double heightPt) {
    private static final double PT_IN_MM = 72 / 25.4;

    /** Left and right of the text. */
    static final double SIDE_PT = 14 * PT_IN_MM;

    private static final double ABOVE_PT = 12 * PT_IN_MM;
    private static final double BELOW_PT = 14 * PT_IN_MM;

    static Sheet of(Paper paper) {
        return switch (paper) {
            case A4 -> new Sheet("A4 landscape", 297 * PT_IN_MM, 210 * PT_IN_MM);
            case LETTER -> new Sheet("letter landscape", 792, 612);
        };
    }

    /** Between the margins. */
    double textPt() {
        return widthPt - 2 * SIDE_PT;
    }

    /** Between the upper and the lower margin. */
    double bodyPt() {
        return heightPt - ABOVE_PT - BELOW_PT;
    }
}
