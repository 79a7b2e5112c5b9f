package org.tenmesh.exchange.json;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.MinimalPrettyPrinter;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/**
 * JSON (RFC 8259) that the program writes for other programs: trees of maps, lists, texts, numbers and truth values. An empty
 * optional and a number that is none or infinite are {@code null}.
 */
public final class Json {
    private static final JsonFactory FACTORY = new JsonFactory();

    private Json() {}

    /** An object from names and values, one after the other, in this order. */
    public static Map<String, Object> object(Object... namesAndValues) {
        Map<String, Object> object = new LinkedHashMap<>();
        for (int i = 0; i < namesAndValues.length; i += 2) {
            object.put((String) namesAndValues[i], namesAndValues[i + 1]);
        }
        return object;
    }

    /** A number with so many places, nearest; nothing when it is not finite. */
    public static Optional<BigDecimal> decimal(double value, int places) {
        return Double.isFinite(value)
                ? Optional.of(new BigDecimal(value).setScale(places, RoundingMode.HALF_UP))
                : Optional.empty();
    }

    /** A tree on one line, a blank behind each comma and colon. */
    public static String line(Object tree) {
        return written(tree, new Blanks(0));
    }

    /** An object with each of its entries on a line of its own, ending with a line feed. */
    public static String lines(Map<String, Object> object) {
        return written(object, new Blanks(1)) + "\n";
    }

    private static String written(Object tree, Blanks blanks) {
        StringWriter text = new StringWriter();
        try (JsonGenerator json = FACTORY.createGenerator(text)) {
            json.setPrettyPrinter(blanks);
            write(json, tree);
        } catch (IOException never) {
            throw new UncheckedIOException("writing to memory failed", never);
        }
        return text.toString();
    }

    private static void write(JsonGenerator json, Object value) throws IOException {
        if (value instanceof Map<?, ?> object) {
            json.writeStartObject();
            for (Map.Entry<?, ?> entry : object.entrySet()) {
                json.writeFieldName(String.valueOf(entry.getKey()));
                write(json, entry.getValue());
            }
            json.writeEndObject();
        } else if (value instanceof List<?> list) {
            json.writeStartArray();
            for (Object one : list) {
                write(json, one);
            }
            json.writeEndArray();
        } else if (value instanceof Optional<?> optional) {
            write(json, optional);
        } else if (value instanceof OptionalDouble optional) {
            number(json, optional.orElse(Double.NaN));
        } else if (value instanceof OptionalLong optional) {
            if (optional.isPresent()) {
                json.writeNumber(optional.getAsLong());
            } else {
                json.writeNull();
            }
        } else if (value instanceof Double number) {
            number(json, number);
        } else if (value instanceof Integer number) {
            json.writeNumber(number);
        } else if (value instanceof Long number) {
            json.writeNumber(number);
        } else if (value instanceof BigDecimal number) {
            json.writeNumber(number);
        } else if (value instanceof Boolean truth) {
            json.writeBoolean(truth);
        } else if (value instanceof String text) {
            json.writeString(text);
        } else {
            throw new IllegalArgumentException(
                    "no JSON for a " + value.getClass().getName());
        }
    }

    private static void write(JsonGenerator json, Optional<?> optional) throws IOException {
        if (optional.isPresent()) {
            write(json, optional.get());
        } else {
            json.writeNull();
        }
    }

    private static void number(JsonGenerator json, double number) throws IOException {
        if (Double.isFinite(number)) {
            json.writeNumber(number);
        } else {
            json.writeNull();
        }
    }

    /** Line breaks between the entries of the outermost levels, blanks inside. */
    private static final class Blanks extends MinimalPrettyPrinter {
        private static final long serialVersionUID = 1L;

        private final int brokenLevels;
        private int level;

        Blanks(int brokenLevels) {
            this.brokenLevels = brokenLevels;
        }

        private void between(JsonGenerator json, String blank) throws IOException {
            json.writeRaw(level > 0 && level <= brokenLevels ? "\n" + "  ".repeat(level) : blank);
        }

        @Override
        public void writeStartObject(JsonGenerator json) throws IOException {
            super.writeStartObject(json);
            level++;
        }

        @Override
        public void beforeObjectEntries(JsonGenerator json) throws IOException {
            between(json, "");
        }

        @Override
        public void writeObjectEntrySeparator(JsonGenerator json) throws IOException {
            json.writeRaw(',');
            between(json, " ");
        }

        @Override
        public void writeObjectFieldValueSeparator(JsonGenerator json) throws IOException {
            json.writeRaw(": ");
        }

        @Override
        public void writeEndObject(JsonGenerator json, int entries) throws IOException {
            level--;
            if (level < brokenLevels && entries > 0) {
                json.writeRaw("\n" + "  ".repeat(level));
            }
            super.writeEndObject(json, entries);
        }

        @Override
        public void writeArrayValueSeparator(JsonGenerator json) throws IOException {
            json.writeRaw(", ");
        }
    }
}
