package org.tenmesh.exchange.file;

import java.util.List;

/**
 * One thing of the input that could not be taken.
 *
 * @param file the file, relative to its folder, {@code readings/pH-1.csv}
 * @param line line of the file, from 1; 0 when it concerns the file as a whole
 * @param column column or key; empty text when it concerns a whole line or file
 * @param found what was there, in quotes when it is text from the file
 * @param expected what should have been there
 * @param consequence what happens now
 */
public record Problem(String file, int line, String column, String found, String expected, String consequence) {
    /** The problem as one line for a terminal or a page. */
    public String sentence() {
        StringBuilder text = new StringBuilder(file);
        if (line > 0) {
            text.append(", line ").append(line);
        }
        if (!column.isEmpty()) {
            text.append(", ").append(column);
        }
        text.append(": found ").append(found).append(", expected ").append(expected);
        if (!consequence.isEmpty()) {
            text.append(". ").append(consequence);
        }
        return text.append('.').toString();
    }

    /** The first three of some names, and how many more there are. */
    public static String some(List<String> all) {
        return all.size() <= 3
                ? String.join(", ", all)
                : String.join(", ", all.subList(0, 3)) + " and " + (all.size() - 3) + " more";
    }

    /** Text from a file as shown in a problem: in quotes, shortened to 60 characters, control characters escaped. */
    public static String quoted(String text) {
        StringBuilder shown = new StringBuilder("\"");
        for (int i = 0; i < text.length() && i < 60; i++) {
            char c = text.charAt(i);
            if (c < ' ' || c == 0x7f) {
                shown.append(String.format("\\u%04x", (int) c));
            } else {
                shown.append(c);
            }
        }
        return shown.append(text.length() > 60 ? "…\"" : "\"").toString();
    }
}
