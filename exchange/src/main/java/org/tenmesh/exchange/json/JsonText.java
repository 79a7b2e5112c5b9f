package org.tenmesh.exchange.json;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * JSON (RFC 8259) that comes from outside, as a tree of maps, lists, texts, {@code BigDecimal}s and truth values. A {@code null} is an empty
 * optional. Depth, lengths and repeated names are bounded: what is deeper, longer or said twice is no text that is read here.
 */
public final class JsonText {
    private static final int DEEPEST = 20;
    private static final int LONGEST_TEXT = 4_000;
    private static final int LONGEST_NUMBER = 40;

    private static final JsonFactory FACTORY = JsonFactory.builder()
            .streamReadConstraints(StreamReadConstraints.builder()
                    .maxNestingDepth(DEEPEST)
                    .maxStringLength(LONGEST_TEXT)
                    .maxNameLength(200)
                    .maxNumberLength(LONGEST_NUMBER)
                    .build())
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .build();

    private JsonText() {}

    /** Why a text is not read, with its place: {@code line 3, column 14: …}. */
    public static final class NotJson extends Exception {
        private static final long serialVersionUID = 1L;

        NotJson(String why) {
            super(why);
        }
    }

    /**
     * The tree of a text in UTF-8.
     *
     * @throws NotJson where it is no JSON, or not within the bounds
     */
    public static Object read(byte[] bytes) throws NotJson {
        // A byte that is no UTF-8 is told of, not replaced.
        var text = new InputStreamReader(
                new ByteArrayInputStream(bytes),
                StandardCharsets.UTF_8
                        .newDecoder()
                        .onMalformedInput(CodingErrorAction.REPORT)
                        .onUnmappableCharacter(CodingErrorAction.REPORT));
        try (JsonParser parser = FACTORY.createParser(text)) {
            if (parser.nextToken() == null) {
                throw new NotJson("it is empty");
            }
            Object tree = value(parser);
            if (parser.nextToken() != null) {
                throw new NotJson(place(parser) + "something follows the end");
            }
            return tree;
        } catch (com.fasterxml.jackson.core.JsonProcessingException wrong) {
            var at = wrong.getLocation();
            throw new NotJson((at == null ? "" : "line " + at.getLineNr() + ", column " + at.getColumnNr() + ": ")
                    + wrong.getOriginalMessage().lines().findFirst().orElse("it is no JSON"));
        } catch (IOException wrong) {
            throw new NotJson("it is no text in UTF-8");
        }
    }

    private static String place(JsonParser parser) {
        var at = parser.currentTokenLocation();
        return "line " + at.getLineNr() + ", column " + at.getColumnNr() + ": ";
    }

    private static Object value(JsonParser parser) throws IOException {
        JsonToken token = parser.currentToken();
        return switch (token) {
            case START_OBJECT -> {
                Map<String, Object> object = new LinkedHashMap<>();
                while (parser.nextToken() == JsonToken.FIELD_NAME) {
                    String name = parser.currentName();
                    parser.nextToken();
                    object.put(name, value(parser));
                }
                yield object;
            }
            case START_ARRAY -> {
                List<Object> list = new ArrayList<>();
                while (parser.nextToken() != JsonToken.END_ARRAY) {
                    list.add(value(parser));
                }
                yield list;
            }
            case VALUE_STRING -> parser.getText();
            case VALUE_NUMBER_INT, VALUE_NUMBER_FLOAT -> parser.getDecimalValue();
            case VALUE_TRUE -> true;
            case VALUE_FALSE -> false;
            default -> Optional.empty();
        };
    }
}
