package org.tenmesh.web.programs;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import org.tenmesh.exchange.json.Json;

/** Every way in which the interface says no, as problem details (RFC 9457). Each type is a place in the interface's own description. */
enum Problems {
    NOT_LET_IN(401, "No token that opens anything"),
    SCOPE_MISSING(403, "The token may not do this"),
    NOT_FOUND(404, "Not found"),
    METHOD_NOT_ALLOWED(405, "Not done in this way"),
    NOT_ACCEPTABLE(406, "No form that was asked for"),
    TOO_SLOW(408, "Too slow"),
    NOT_DONE(409, "Not done"),
    KEY_USED(409, "The key came before"),
    OTHER_REGISTER(409, "Another register"),
    TOO_LARGE(413, "Too large"),
    MEDIA_TYPE(415, "Not JSON"),
    INVALID(422, "What was sent does not fit"),
    BAD_REQUEST(400, "The request cannot be read"),
    BUSY(503, "Not now"),
    FAILED(500, "Failed inside");

    /** What every problem is sent as. */
    static final String TYPE = "application/problem+json; charset=utf-8";

    private final int status;
    private final String title;

    Problems(int status, String title) {
        this.status = status;
        this.title = title;
    }

    int status() {
        return status;
    }

    String title() {
        return title;
    }

    /** The last part of its type. */
    String word() {
        return name().toLowerCase(java.util.Locale.ROOT).replace('_', '-');
    }

    Endpoint.Reply reply(String detail) {
        return reply(detail, List.of());
    }

    /** With single errors: each has a place in what was sent, what was found there and what was expected. */
    Endpoint.Reply reply(String detail, List<Object> errors) {
        Map<String, Object> problem = Json.object(
                "type",
                Interface.HOME + "/openapi.json#/components/x-problems/" + word(),
                "title",
                title,
                "status",
                status,
                "detail",
                detail);
        if (!errors.isEmpty()) {
            problem.put("errors", errors);
        }
        return new Endpoint.Reply(status, TYPE, (Json.line(problem) + "\n").getBytes(StandardCharsets.UTF_8), Map.of());
    }
}
