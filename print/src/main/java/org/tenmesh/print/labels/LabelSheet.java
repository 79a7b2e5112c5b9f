package org.tenmesh.print.labels;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A sheet of labels, or the roll of a label printer, which is a sheet with one. Lengths in mm.
 *
 * @param acrossMm distance from the left edge of one label to that of the next
 * @param downMm distance from the upper edge of one label to that of the next
 */
public record LabelSheet(
        double pageWidthMm,
        double pageHeightMm,
        int columns,
        int rows,
        double widthMm,
        double heightMm,
        double leftMm,
        double topMm,
        double acrossMm,
        double downMm) {
    private static final double LARGEST_MM = 500;
    private static final String NUMBER = "(\\d{1,3}(?:\\.\\d{1,2})?)";
    private static final Pattern TEXT = Pattern.compile(NUMBER + "x" + NUMBER + " (\\d{1,2})x(\\d{1,2}) " + NUMBER + "x"
            + NUMBER + " at " + NUMBER + "," + NUMBER + " every " + NUMBER + "x" + NUMBER);

    /** Sheets in common use, by name (sizes: common practice; measure a sheet before you print on it). */
    public static Map<String, LabelSheet> common() {
        Map<String, LabelSheet> sheets = new LinkedHashMap<>();
        sheets.put("A4, 3 x 8", new LabelSheet(210, 297, 3, 8, 63.5, 33.9, 7.2, 12.9, 66, 33.9));
        sheets.put("A4, 2 x 7", new LabelSheet(210, 297, 2, 7, 99.1, 38.1, 4.65, 15.15, 101.6, 38.1));
        sheets.put("Letter, 3 x 10", new LabelSheet(215.9, 279.4, 3, 10, 66.7, 25.4, 4.8, 12.7, 69.85, 25.4));
        sheets.put("Letter, 3 x 8", new LabelSheet(215.9, 279.4, 3, 8, 66.7, 31.7, 4.8, 12.9, 69.85, 31.7));
        sheets.put("Printer, 57 x 32 mm", new LabelSheet(57, 32, 1, 1, 57, 32, 0, 0, 57, 32));
        sheets.put("Printer, 102 x 51 mm", new LabelSheet(102, 51, 1, 1, 102, 51, 0, 0, 102, 51));
        return sheets;
    }

    /** @throws IllegalArgumentException where the labels do not fit on the page or on each other */
    public LabelSheet {
        boolean sized = pageWidthMm > 0 && pageWidthMm <= LARGEST_MM && pageHeightMm > 0 && pageHeightMm <= LARGEST_MM;
        boolean fits = columns >= 1
                && rows >= 1
                && widthMm >= 20
                && heightMm >= 12
                && leftMm >= 0
                && topMm >= 0
                && (columns == 1 || acrossMm >= widthMm)
                && (rows == 1 || downMm >= heightMm)
                && leftMm + (columns - 1) * acrossMm + widthMm <= pageWidthMm + 0.5
                && topMm + (rows - 1) * downMm + heightMm <= pageHeightMm + 0.5;
        if (!sized || !fits) {
            throw new IllegalArgumentException(
                    "labels of " + widthMm + " x " + heightMm + " mm, " + columns + " x " + rows
                            + " on a page of " + pageWidthMm + " x " + pageHeightMm
                            + " mm: expected labels of 20 x 12 mm or more that lie beside each other on a page of at most "
                            + LARGEST_MM + " mm");
        }
    }

    /** How many labels it holds. */
    public int size() {
        return columns * rows;
    }

    /**
     * The sheet of a text such as {@code 210x297 3x8 63.5x33.9 at 7.2,12.9 every 66x33.9}: page, columns x rows, label, left and upper margin,
     * distances from label to label, in mm. Empty where the text says no sheet that can be.
     */
    public static Optional<LabelSheet> of(String text) {
        Matcher found = TEXT.matcher(text.strip());
        if (!found.matches()) {
            return Optional.ofNullable(common().get(text.strip()));
        }
        double[] n = new double[11];
        for (int i = 1; i <= 10; i++) {
            n[i] = Double.parseDouble(found.group(i));
        }
        try {
            return Optional.of(new LabelSheet(n[1], n[2], (int) n[3], (int) n[4], n[5], n[6], n[7], n[8], n[9], n[10]));
        } catch (IllegalArgumentException impossible) {
            return Optional.empty();
        }
    }
}
