package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import com.github.erosb.jsonsKema.FormatValidationPolicy;
import com.github.erosb.jsonsKema.JsonParser;
import com.github.erosb.jsonsKema.SchemaLoader;
import com.github.erosb.jsonsKema.ValidationFailure;
import com.github.erosb.jsonsKema.Validator;
import com.github.erosb.jsonsKema.ValidatorConfig;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.json.JsonText;

/**
 * A client that knows of the interface nothing but its published description: it makes each request from the operation of that name and holds each
 * answer against the schema that the description gives for its status and content type, where members that the description does not name are faults.
 */
final class DescribedClient {
    private static final Set<String> METHODS = Set.of("get", "post", "put", "delete", "patch");

    private final URI home;
    private final String token;
    private final Map<?, ?> description;
    private final HttpClient http = HttpClient.newHttpClient();
    private final List<String> bodies = new ArrayList<>();
    private final Set<String> statuses = new TreeSet<>();

    /** One answer, which is as the description says. */
    record Answer(int status, String type, byte[] body, Map<String, List<String>> headers) {
        String text() {
            return new String(body, StandardCharsets.UTF_8);
        }

        Map<?, ?> json() {
            return tree(body);
        }

        String header(String name) {
            return headers.getOrDefault(name.toLowerCase(java.util.Locale.ROOT), List.of(""))
                    .get(0);
        }
    }

    DescribedClient(URI home, String token) throws Exception {
        this.home = home;
        this.token = token;
        HttpResponse<byte[]> sent = http.send(
                HttpRequest.newBuilder(home.resolve("/interface/v1/openapi.json"))
                        .build(),
                HttpResponse.BodyHandlers.ofByteArray());
        assertThat(sent.statusCode()).isEqualTo(200);
        this.description = tree(sent.body());
    }

    static Map<?, ?> tree(byte[] json) {
        try {
            return (Map<?, ?>) JsonText.read(json);
        } catch (JsonText.NotJson wrong) {
            throw new AssertionError(wrong);
        }
    }

    /** Every operation, as {@code GET /path}. */
    Set<String> operations() {
        Set<String> all = new TreeSet<>();
        paths().forEach((path, item) -> ((Map<?, ?>) item)
                .keySet().stream()
                        .filter(METHODS::contains)
                        .forEach(method ->
                                all.add(String.valueOf(method).toUpperCase(java.util.Locale.ROOT) + " " + path)));
        return all;
    }

    /** The scope that the description names for each operation; empty text where anybody may. */
    Map<String, String> scopes() {
        Map<String, String> all = new LinkedHashMap<>();
        paths().forEach((path, item) -> ((Map<?, ?>) item).forEach((method, operation) -> {
            if (METHODS.contains(method)) {
                Object scope = ((Map<?, ?>) operation).get("x-scope");
                all.put(
                        String.valueOf(method).toUpperCase(java.util.Locale.ROOT) + " " + path,
                        scope == null ? "" : scope.toString());
            }
        }));
        return all;
    }

    /** The parameters behind the question mark that the description names for an operation. */
    Set<String> queryOf(String operation) {
        Set<String> names = new TreeSet<>();
        String[] words = operation.split(" ", 2);
        Map<?, ?> its = map(paths(), words[1], words[0].toLowerCase(java.util.Locale.ROOT));
        parameters(its).stream()
                .filter(one -> "query".equals(one.get("in")))
                .forEach(one -> names.add(String.valueOf(one.get("name"))));
        return names;
    }

    private Map<?, ?> paths() {
        return map(description, "paths");
    }

    /** Everything that was answered so far, as text. */
    List<String> bodies() {
        return bodies;
    }

    /** Operations and statuses that were met. */
    Set<String> statuses() {
        return statuses;
    }

    /**
     * Calls an operation.
     *
     * @param values of its parameters by name; a header that is none of its parameters is sent as it is
     * @param body empty text for none
     */
    Answer call(String operationId, Map<String, String> values, String body) throws Exception {
        for (Map.Entry<?, ?> path : paths().entrySet()) {
            for (Map.Entry<?, ?> method : ((Map<?, ?>) path.getValue()).entrySet()) {
                Map<?, ?> operation = (Map<?, ?>) method.getValue();
                if (operationId.equals(operation.get("operationId"))) {
                    return call(
                            String.valueOf(path.getKey()), String.valueOf(method.getKey()), operation, values, body);
                }
            }
        }
        throw new AssertionError("the description has no operation " + operationId);
    }

    private Answer call(String path, String method, Map<?, ?> operation, Map<String, String> values, String body)
            throws Exception {
        Map<String, String> left = new LinkedHashMap<>(values);
        String address = path;
        List<String> query = new ArrayList<>();
        Map<String, String> headers = new LinkedHashMap<>();
        for (Map<?, ?> parameter : parameters(operation)) {
            String name = String.valueOf(parameter.get("name"));
            String value = left.remove(name);
            if (value == null) {
                assertThat(parameter.get("required")).as(name + " of " + path).isNotEqualTo(true);
                continue;
            }
            String encoded = URLEncoder.encode(value, StandardCharsets.UTF_8).replace("+", "%20");
            switch (String.valueOf(parameter.get("in"))) {
                case "path" -> address = address.replace("{" + name + "}", encoded);
                case "query" -> query.add(name + "=" + encoded);
                default -> headers.put(name, value);
            }
        }
        headers.putAll(left);
        HttpRequest.Builder request =
                HttpRequest.newBuilder(home.resolve(address + (query.isEmpty() ? "" : "?" + String.join("&", query))));
        headers.forEach(request::header);
        if (!token.isEmpty()) {
            request.header("Authorization", "Bearer " + token);
        }
        if (body.isEmpty()) {
            request.method(method.toUpperCase(java.util.Locale.ROOT), HttpRequest.BodyPublishers.noBody());
        } else {
            if (!headers.containsKey("Content-Type")) {
                Map<?, ?> expected = map(operation, "requestBody", "content");
                request.header(
                        "Content-Type",
                        String.valueOf(expected.keySet().iterator().next()));
            }
            request.method(method.toUpperCase(java.util.Locale.ROOT), HttpRequest.BodyPublishers.ofString(body));
        }
        HttpResponse<byte[]> sent = http.send(request.build(), HttpResponse.BodyHandlers.ofByteArray());
        Answer answer = new Answer(
                sent.statusCode(),
                sent.headers().firstValue("Content-Type").orElse("").split(";", -1)[0],
                sent.body(),
                sent.headers().map());
        bodies.add(answer.text());
        statuses.add(operation.get("operationId") + " " + answer.status());
        held(operation, answer);
        return answer;
    }

    /** Holds an answer against what the description says of it. */
    private void held(Map<?, ?> operation, Answer answer) {
        String what = operation.get("operationId") + ", status " + answer.status() + ": " + answer.text();
        assertThat(map(operation, "responses").keySet().stream().map(String::valueOf))
                .as(what)
                .contains(Integer.toString(answer.status()));
        Map<?, ?> described = followed(map(operation, "responses", Integer.toString(answer.status())));
        if (!described.containsKey("content")) {
            assertThat(answer.body()).as(what).isEmpty();
            return;
        }
        assertThat(map(described, "content").keySet().stream().map(String::valueOf))
                .as(what)
                .contains(answer.type());
        if (answer.type().endsWith("json")) {
            assertThat(failures(map(described, "content", answer.type(), "schema"), answer.text()))
                    .as(what)
                    .isEmpty();
        }
        if (answer.type().equals("application/problem+json")) {
            String type = String.valueOf(answer.json().get("type"));
            Map<?, ?> means =
                    map(description, type.substring(type.indexOf('#') + 2).split("/", -1));
            assertThat(String.valueOf(means.get("status"))).isEqualTo(Integer.toString(answer.status()));
        }
    }

    /** What does not fit the schema; empty when all does. */
    String failures(Object schema, String json) {
        Map<String, Object> whole = new LinkedHashMap<>();
        whole.put("$schema", "https://json-schema.org/draft/2020-12/schema");
        whole.put("components", strict(map(description, "components"), false));
        whole.put("allOf", List.of(schema));
        return failures(Json.line(whole), json);
    }

    static String failures(String schema, String json) {
        Validator validator =
                Validator.create(new SchemaLoader(schema).load(), new ValidatorConfig(FormatValidationPolicy.ALWAYS));
        ValidationFailure failure = validator.validate(new JsonParser(json).parse());
        return failure == null ? "" : failure.toString();
    }

    /** The same tree in which every object with named members has no others. */
    private static Object strict(Object tree, boolean insideNames) {
        if (tree instanceof List<?> list) {
            return list.stream().map(one -> strict(one, false)).toList();
        }
        if (!(tree instanceof Map<?, ?> map)) {
            return tree;
        }
        Map<String, Object> out = new LinkedHashMap<>();
        map.forEach((name, value) ->
                out.put(String.valueOf(name), strict(value, !insideNames && "properties".equals(name))));
        if (!insideNames && "object".equals(map.get("type")) && map.containsKey("properties")) {
            out.put("additionalProperties", false);
        }
        return out;
    }

    private Map<?, ?> followed(Map<?, ?> maybeReference) {
        Object reference = maybeReference.get("$ref");
        if (reference == null) {
            return maybeReference;
        }
        return map(description, reference.toString().substring(2).split("/", -1));
    }

    /** The list that stands in a tree under this name. */
    static List<?> list(Map<?, ?> tree, String name) {
        if (tree.get(name) instanceof List<?> list) {
            return list;
        }
        throw new AssertionError("no list stands under " + name);
    }

    /** What stands in a tree under these names, one within the other. */
    static Map<?, ?> map(Map<?, ?> tree, String... names) {
        Map<?, ?> place = tree;
        for (String name : names) {
            if (!(place.get(name) instanceof Map<?, ?> inner)) {
                throw new AssertionError("nothing stands under " + String.join("/", names));
            }
            place = inner;
        }
        return place;
    }

    private static List<Map<?, ?>> parameters(Map<?, ?> operation) {
        Object given = operation.get("parameters");
        List<Map<?, ?>> all = new ArrayList<>();
        if (given instanceof List<?> list) {
            list.forEach(one -> all.add((Map<?, ?>) one));
        }
        return all;
    }
}
