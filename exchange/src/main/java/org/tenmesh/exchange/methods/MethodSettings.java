package org.tenmesh.exchange.methods;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.Iterator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The settings of a method file with the remark that stands beside each: how far the value was checked. */
public final class MethodSettings {
    private static final Pattern LINE = Pattern.compile("( *)(- )?(?:([A-Za-z_][A-Za-z0-9_]*):(?: +|$))?(.*)");
    private static final Pattern NAMED =
            Pattern.compile("(?:symbol|name|quantity|word|element):\\s*(\"[^\"]*\"|[^,}]+)");
    private static final Pattern USUALLY = Pattern.compile("([a-z_]+)\\s{2,}(\\[.*)");

    private MethodSettings() {}

    /**
     * One setting.
     *
     * @param where what it belongs to, outermost first: {@code analytes, P}; empty for the top of the file
     * @param key its key; empty for an entry of a list
     * @param value as written; empty where the remark concerns a whole group or every entry of a list
     * @param remark the comment beside or above it; empty when there is none
     */
    public record Setting(String where, String key, String value, String remark) {
        /** Whether the remark says that the value, or a part of it, was recalled and not read again. */
        public boolean isRemembered() {
            return remark.contains("[from memory]");
        }
    }

    private record Level(int indent, boolean item, String label) {}

    /**
     * Every setting of a method file, in the order of the file; texts for people are left out.
     *
     * @param text of a file that was read without problems
     */
    public static List<Setting> of(String text) {
        List<Setting> settings = new ArrayList<>();
        Deque<Level> levels = new ArrayDeque<>();
        List<String> above = new ArrayList<>();
        for (String line : text.lines().toList()) {
            int comment = comment(line);
            String body = line.substring(0, comment).stripTrailing();
            String said = comment < line.length() ? line.substring(comment + 1).strip() : "";
            if (body.isBlank()) {
                if (comment < line.length()) {
                    above.add(line.substring(comment + 1).stripTrailing());
                } else {
                    above.clear();
                }
                continue;
            }
            take(body, said, above, levels, settings);
            above.clear();
        }
        return settings;
    }

    private static void take(
            String body, String said, List<String> above, Deque<Level> levels, List<Setting> settings) {
        Matcher parts = LINE.matcher(body);
        if (!parts.matches()) {
            return;
        }
        int indent = parts.group(1).length();
        boolean item = parts.group(2) != null;
        String key = parts.group(3) == null ? "" : parts.group(3);
        String value = parts.group(4).strip();
        leave(levels, indent, item);
        String remark = remark(above, said);
        if (item) {
            Matcher named = NAMED.matcher(body);
            levels.push(new Level(indent, true, named.find() ? bare(named.group(1)) : ""));
            indent += 2;
        }
        String where = where(levels);
        if (value.isEmpty() && !key.isEmpty()) {
            usually(key, above, settings);
            if (!remark.isEmpty() && !remark.startsWith("Unless marked otherwise") && !key.equals("id")) {
                settings.add(new Setting(where, key, "", remark));
            }
            levels.push(new Level(indent, false, key));
        } else if (!prose(where, key)) {
            settings.add(new Setting(where, key, bare(value), remark));
        }
    }

    private static void leave(Deque<Level> levels, int indent, boolean item) {
        while (!levels.isEmpty()) {
            Level top = levels.element();
            boolean inside = top.indent() < indent || item && top.indent() == indent && !top.item();
            if (inside) {
                return;
            }
            levels.pop();
        }
    }

    /** A block above a list may say what holds for every entry: {@code #   reporting_limit  [read] where}. */
    private static void usually(String key, List<String> above, List<Setting> settings) {
        for (String line : above) {
            Matcher one = USUALLY.matcher(line.strip());
            if (one.matches()) {
                settings.add(new Setting(key, one.group(1), "", one.group(2)));
            }
        }
    }

    private static String remark(List<String> above, String said) {
        StringBuilder remark = new StringBuilder();
        for (String line : above) {
            remark.append(remark.length() == 0 ? "" : " ").append(line.strip());
        }
        return remark.append(remark.length() == 0 || said.isEmpty() ? "" : "; ")
                .append(said)
                .toString();
    }

    private static boolean prose(String where, String key) {
        String outermost = where.isEmpty() ? key : where;
        return List.of("id", "version", "kind", "title", "summary", "answers", "note")
                                .contains(key)
                        && where.isEmpty()
                || outermost.startsWith("sources")
                || outermost.startsWith("cautions")
                || outermost.startsWith("examples")
                || key.equals("text")
                || key.equals("standing");
    }

    private static String where(Deque<Level> levels) {
        StringBuilder where = new StringBuilder();
        for (Iterator<Level> inwards = levels.descendingIterator(); inwards.hasNext(); ) {
            String label = inwards.next().label();
            if (!label.isEmpty()) {
                where.append(where.length() == 0 ? "" : ", ").append(label);
            }
        }
        return where.toString();
    }

    private static String bare(String value) {
        String bare = value.strip();
        boolean quoted = bare.length() >= 2 && bare.startsWith("\"") && bare.endsWith("\"");
        return quoted ? bare.substring(1, bare.length() - 1) : bare;
    }

    /** Where the comment of a line begins; its length when it has none. */
    private static int comment(String line) {
        char quote = 0;
        for (int i = 0; i < line.length(); i++) {
            char c = line.charAt(i);
            if (quote != 0) {
                quote = c == quote ? 0 : quote;
            } else if (c == '"' || c == '\'' && i > 0 && !Character.isLetterOrDigit(line.charAt(i - 1))) {
                quote = c;
            } else if (c == '#' && (i == 0 || line.charAt(i - 1) == ' ')) {
                return i;
            }
        }
        return line.length();
    }
}
