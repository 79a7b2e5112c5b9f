package org.tenmesh.app;

import java.util.List;

/** The little JSON (RFC 8259) that commands print for programs to read. */
final class JsonText {
    private JsonText() {}

    /** Text in quotes. */
    static String of(String text) {
        StringBuilder json = new StringBuilder("\"");
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            switch (c) {
                case '"' -> json.append("\\\"");
                case '\\' -> json.append("\\\\");
                case '\n' -> json.append("\\n");
                case '\t' -> json.append("\\t");
                default -> {
                    if (c < ' ') {
                        json.append(String.format("\\u%04x", (int) c));
                    } else {
                        json.append(c);
                    }
                }
            }
        }
        return json.append('"').toString();
    }

    /** A list of texts. */
    static String of(List<String> texts) {
        return list(texts.stream().map(JsonText::of).toList());
    }

    /** A list of values that are JSON already. */
    static String list(List<String> values) {
        return "[" + String.join(", ", values) + "]";
    }

    /** An object from names and values that are JSON already, one after the other. */
    static String object(String... namesAndValues) {
        StringBuilder json = new StringBuilder("{");
        for (int i = 0; i < namesAndValues.length; i += 2) {
            json.append(i == 0 ? "" : ", ")
                    .append(of(namesAndValues[i]))
                    .append(": ")
                    .append(namesAndValues[i + 1]);
        }
        return json.append('}').toString();
    }
}
