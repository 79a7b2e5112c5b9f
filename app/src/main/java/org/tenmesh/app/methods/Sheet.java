package org.tenmesh.app.methods;

import java.util.ArrayList;
import java.util.List;

/** A page as it is written, for a terminal or as Markdown. */
final class Sheet {
    private final boolean markdown;
    private final StringBuilder text = new StringBuilder();

    private Sheet(boolean markdown) {
        this.markdown = markdown;
    }

    static Sheet markdown() {
        return new Sheet(true);
    }

    static Sheet plain() {
        return new Sheet(false);
    }

    void title(String title) {
        text.append(markdown ? "# " : "").append(title).append('\n');
    }

    void heading(String heading) {
        text.append('\n').append(markdown ? "## " : "").append(heading).append('\n');
    }

    void paragraph(String paragraph) {
        if (!paragraph.isBlank()) {
            text.append(markdown ? "\n" : "").append(shown(paragraph)).append('\n');
        }
    }

    /** Formulas, each on a line of its own. */
    void formulas(List<String> lines) {
        if (!lines.isEmpty()) {
            text.append(markdown ? "\n" : "");
            lines.forEach(
                    line -> text.append(markdown ? "    " : "  ").append(line).append('\n'));
        }
    }

    void list(List<String> items) {
        if (!items.isEmpty()) {
            text.append(markdown ? "\n" : "");
            items.forEach(item ->
                    text.append(markdown ? "- " : "  ").append(shown(item)).append('\n'));
        }
    }

    /** A table; columns in which no row says anything are left out. */
    void table(List<String> heads, List<List<String>> rows) {
        if (rows.isEmpty()) {
            return;
        }
        List<Integer> told = new ArrayList<>();
        for (int i = 0; i < heads.size(); i++) {
            int column = i;
            if (rows.stream().anyMatch(row -> !row.get(column).isBlank())) {
                told.add(i);
            }
        }
        List<List<String>> all = new ArrayList<>();
        all.add(heads);
        all.addAll(rows);
        text.append(markdown ? "\n" : "");
        for (int r = 0; r < all.size(); r++) {
            StringBuilder line = new StringBuilder();
            for (int column : told) {
                String cell = all.get(r).get(column);
                if (markdown) {
                    line.append("| ").append(shown(cell).replace("|", "\\|")).append(' ');
                } else {
                    int width = all.stream()
                            .mapToInt(row -> row.get(column).length())
                            .max()
                            .orElse(0);
                    line.append("  ").append(cell).append(" ".repeat(width - cell.length()));
                }
            }
            text.append(markdown ? line.append('|').toString() : line.toString().stripTrailing())
                    .append('\n');
            if (r == 0 && markdown) {
                text.append("|---".repeat(told.size())).append("|\n");
            }
        }
    }

    /** A name as it stands in files. */
    String name(String name) {
        return markdown ? "`" + name + "`" : name;
    }

    /** A way to another page. */
    String link(String words, String page) {
        return markdown ? "[" + words + "](" + page + ")" : words;
    }

    // A * or _ between letters would be read as emphasis, and < as a tag.
    private String shown(String words) {
        if (!markdown) {
            return words;
        }
        StringBuilder shown = new StringBuilder();
        boolean code = false;
        for (int i = 0; i < words.length(); i++) {
            char c = words.charAt(i);
            code ^= c == '`';
            shown.append(!code && (c == '*' || c == '<' || c == '_') ? "\\" + c : String.valueOf(c));
        }
        return shown.toString();
    }

    @Override
    public String toString() {
        return text.toString();
    }
}
