package org.tenmesh.store.rows;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * The little canonical JSON that the journal needs: keys sorted by UTF-16 code unit, no blanks, strings escaped as in
 * RFC 8785 (2020), section 3.2.2.2. Numbers are whole; anything finer is written as text by the caller, so that no
 * rounding of a number can change a hash.
 */
public final class Json {
    private Json() {}

    /** An object from alternating names and values. */
    public static String object(Object... namesAndValues) {
        Map<String, Object> sorted = new TreeMap<>();
        for (int i = 0; i < namesAndValues.length; i += 2) {
            sorted.put((String) namesAndValues[i], namesAndValues[i + 1]);
        }
        return value(sorted);
    }

    public static String object(Map<String, String> texts) {
        return value(new TreeMap<>(texts));
    }

    public static String text(String text) {
        StringBuilder out = new StringBuilder(text.length() + 2);
        write(text, out);
        return out.toString();
    }

    private static String value(Object value) {
        StringBuilder out = new StringBuilder();
        write(value, out);
        return out.toString();
    }

    private static void write(Object value, StringBuilder out) {
        if (value instanceof String text) {
            write(text, out);
        } else if (value instanceof Integer || value instanceof Long || value instanceof Boolean) {
            out.append(value);
        } else if (value instanceof List<?> list) {
            out.append('[');
            String between = "";
            for (Object element : list) {
                out.append(between);
                write(element, out);
                between = ",";
            }
            out.append(']');
        } else if (value instanceof Map<?, ?> map) {
            out.append('{');
            String between = "";
            for (Map.Entry<?, ?> entry : map.entrySet()) {
                out.append(between);
                write((String) entry.getKey(), out);
                out.append(':');
                write(entry.getValue(), out);
                between = ",";
            }
            out.append('}');
        } else {
            throw new IllegalArgumentException(
                    "the journal takes text, whole numbers, yes or no, lists and objects; found "
                            + value.getClass().getName());
        }
    }

    private static void write(String text, StringBuilder out) {
        out.append('"');
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            switch (c) {
                case '"' -> out.append("\\\"");
                case '\\' -> out.append("\\\\");
                case '\b' -> out.append("\\b");
                case '\t' -> out.append("\\t");
                case '\n' -> out.append("\\n");
                case '\f' -> out.append("\\f");
                case '\r' -> out.append("\\r");
                default -> {
                    if (c < 0x20) {
                        out.append(String.format("\\u%04x", (int) c));
                    } else {
                        out.append(c);
                    }
                }
            }
        }
        out.append('"');
    }
}
