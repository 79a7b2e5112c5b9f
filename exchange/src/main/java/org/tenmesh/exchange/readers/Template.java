package org.tenmesh.exchange.readers;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Text with names of cells in braces: {@code {Date} {Time}}. Doubled braces stand for themselves. */
final class Template {
    private final String text;
    // Texts and names in turn, beginning with a text.
    private final List<String> parts = new ArrayList<>();

    private Template(String text) {
        this.text = text;
        StringBuilder part = new StringBuilder();
        int i = 0;
        while (i < text.length()) {
            char c = text.charAt(i);
            if ((c == '{' || c == '}') && i + 1 < text.length() && text.charAt(i + 1) == c) {
                part.append(c);
                i += 2;
            } else if (c == '{' && text.indexOf('}', i) > i) {
                int end = text.indexOf('}', i);
                parts.add(part.toString());
                parts.add(text.substring(i + 1, end));
                part.setLength(0);
                i = end + 1;
            } else {
                part.append(c);
                i++;
            }
        }
        parts.add(part.toString());
    }

    static Template of(String text) {
        return new Template(text);
    }

    /** The names it needs that are not among these. */
    List<String> namesBeyond(Set<String> known) {
        List<String> beyond = new ArrayList<>();
        for (int i = 1; i < parts.size(); i += 2) {
            if (!known.contains(parts.get(i))) {
                beyond.add(parts.get(i));
            }
        }
        return beyond;
    }

    /** The text with the cells put in; a name that is not there gives nothing. */
    String fill(Map<String, String> cells) {
        if (parts.size() == 1) {
            return parts.get(0);
        }
        StringBuilder filled = new StringBuilder();
        for (int i = 0; i < parts.size(); i++) {
            filled.append(i % 2 == 0 ? parts.get(i) : cells.getOrDefault(parts.get(i), ""));
        }
        return filled.toString();
    }

    @Override
    public String toString() {
        return text;
    }
}
