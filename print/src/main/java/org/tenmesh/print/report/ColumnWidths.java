package org.tenmesh.print.report;

import java.util.List;
import org.tenmesh.core.quantity.Unit;

/**
 * How wide the columns of a matrix must be, pt, measured with the shipped fonts at the sizes of the report's style sheet, so that
 * no symbol, unit or number breaks over two lines or reaches into the next column.
 */
final class ColumnWidths {
    /** Sizes in the style sheet of report.jte, pt. */
    static final double SYMBOL_PT = 8.4;

    static final double UNIT_PT = 5.8;
    private static final double METHOD_PT = 5.6;
    private static final double VALUE_PT = 7.6;
    private static final double UNCERTAINTY_PT = 6.4;

    /** Left and right padding of a cell, and the line before the first column of a method. */
    static final double PADDING_PT = 3.5;

    /** The renderer rounds each character's width for itself. */
    private static final double ROUNDING_PT = 0.6;

    private static final double NARROWEST_PT = 22;

    private ColumnWidths() {}

    /** What a head needs: symbol and method's number in one line, the unit in the next. */
    static double head(String symbol, String method, Unit unit) {
        double first = Glyphs.widthPt(symbol, SYMBOL_PT, true)
                + Glyphs.widthPt(" ", SYMBOL_PT, false)
                + Glyphs.widthPt(method, METHOD_PT, false);
        return padded(Math.max(first, Glyphs.widthPt(unit.spelling(), UNIT_PT, false)));
    }

    /** What a number and its uncertainty below need. */
    static double number(String number, String uncertainty) {
        return padded(
                Math.max(Glyphs.widthPt(number, VALUE_PT, true), Glyphs.widthPt(uncertainty, UNCERTAINTY_PT, false)));
    }

    /** What words in place of a number need, which may break between words: the longest of them, or half of the whole where that is more. */
    static double words(String words) {
        double longest = Glyphs.widthPt(words, VALUE_PT, true) / 2;
        for (String word : words.split("\\s+")) {
            longest = Math.max(longest, Glyphs.widthPt(word, VALUE_PT, true));
        }
        return padded(longest);
    }

    private static double padded(double text) {
        return Math.max(NARROWEST_PT, text + PADDING_PT + ROUNDING_PT);
    }

    /**
     * The widths that columns get: as they need, the room that is left shared out so that narrow columns come near the wide ones.
     *
     * @param needed of each column, pt
     * @param room for all of them, pt
     * @param widest that a column becomes for looks alone, pt
     */
    static double[] shared(List<Double> needed, double room, double widest) {
        double[] widths = needed.stream().mapToDouble(Double::doubleValue).toArray();
        double sum = 0;
        for (double width : widths) {
            sum += width;
        }
        if (sum > room) {
            // nothing fits: the page's edge counts more than a column's need
            for (int i = 0; i < widths.length; i++) {
                widths[i] *= room / sum;
            }
            return widths;
        }
        // the level up to which every narrower column is widened
        double low = 0;
        double high = widest;
        for (int step = 0; step < 40; step++) {
            double level = (low + high) / 2;
            double total = 0;
            for (double width : widths) {
                total += Math.max(width, level);
            }
            if (total > room) {
                high = level;
            } else {
                low = level;
            }
        }
        for (int i = 0; i < widths.length; i++) {
            widths[i] = Math.max(widths[i], low);
        }
        return widths;
    }
}
