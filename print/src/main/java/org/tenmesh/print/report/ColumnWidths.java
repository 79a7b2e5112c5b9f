package org.tenmesh.print.report;

import java.util.List;

/**
 * How wide the columns of a table must be, pt, measured with the shipped fonts at the sizes of the report's style sheet, so that
 * no number or word breaks over two lines or reaches into the next column.
 */
final class ColumnWidths {
    /** Sizes in the style sheet of report.jte, pt. */
    static final double NAME_PT = 6.8;

    static final double UNIT_PT = 6.4;
    static final double METHOD_PT = 5.4;
    static final double VALUE_PT = 8.2;
    static final double UNCERTAINTY_PT = 6.4;
    static final double LAB_NUMBER_PT = 8;
    static final double LABEL_PT = 7.6;

    /** Between an amount and its uncertainty in one line. */
    static final double GAP_PT = 2.4;

    /** Before each column. */
    static final double PADDING_PT = 6;

    /** The renderer rounds each character's width for itself. */
    private static final double ROUNDING_PT = 0.6;

    private static final double ROUNDED = 1.03;

    /** A name takes at most so many lines. */
    private static final int NAME_LINES = 3;

    /** A class of texture in one line: a row of three lines would cost more room than a wide column. */
    private static final double ONE_LINE_OF_WORDS_PT = 64;

    private static final double NARROWEST_PT = 24;

    private ColumnWidths() {}

    /** What a head needs: the longest word of its name, the last one with its method's number, its unit, and room for the name in few lines. */
    static double head(String name, String method, String unit) {
        double number = method.isEmpty() ? 0 : 1.5 + Glyphs.widthPt(method, METHOD_PT, false);
        double widest = Glyphs.widthPt(unit, UNIT_PT, false);
        String[] words = name.split("\\s+");
        for (int i = 0; i < words.length; i++) {
            widest = Math.max(widest, Glyphs.widthPt(words[i], NAME_PT, false) + (i == words.length - 1 ? number : 0));
        }
        while (lines(name, NAME_PT, false, widest) > NAME_LINES) {
            widest += 2;
        }
        return padded(widest);
    }

    /** How many lines a text takes in a width, broken between words. */
    static int lines(String text, double sizePt, boolean bold, double widthPt) {
        int lines = 1;
        double used = 0;
        double blank = ROUNDED * Glyphs.widthPt(" ", sizePt, bold);
        for (String word : text.split(" ")) {
            double width = ROUNDED * Glyphs.widthPt(word, sizePt, bold);
            if (used > 0 && used + blank + width > widthPt) {
                lines++;
                used = 0;
            }
            // a word that is longer than the line is broken inside
            lines += used == 0 ? (int) Math.max(0, Math.ceil(width / widthPt) - 1) : 0;
            used += (used > 0 ? blank : 0) + width % Math.max(widthPt, 1);
        }
        return lines;
    }

    /** What an amount with its uncertainty needs, in one line or in two. */
    static double number(String mark, String number, String uncertainty, boolean below) {
        double amount = marked(mark) + Glyphs.widthPt(number, VALUE_PT, false);
        double its = Glyphs.widthPt(uncertainty, UNCERTAINTY_PT, false);
        return padded(below ? Math.max(amount, its) : amount + (its == 0 ? 0 : GAP_PT + its));
    }

    /** What words in place of a number need: one line where they are short, else two that break between words. */
    static double words(String mark, String words) {
        double line = ROUNDED * Glyphs.widthPt(words, VALUE_PT, false);
        double needed = line;
        if (line > ONE_LINE_OF_WORDS_PT) {
            needed = line / 2;
            for (String word : words.split("\\s+")) {
                needed = Math.max(needed, ROUNDED * Glyphs.widthPt(word, VALUE_PT, false));
            }
            while (lines(words, VALUE_PT, false, needed) > 2) {
                needed += 1;
            }
        }
        return padded(needed + marked(mark));
    }

    private static double marked(String mark) {
        return mark.isEmpty() ? 0 : 1 + Glyphs.widthPt(mark, UNIT_PT, false);
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
