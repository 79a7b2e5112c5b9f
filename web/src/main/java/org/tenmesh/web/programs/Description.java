package org.tenmesh.web.programs;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.store.sheets.Sheets;

/** The interface's own description, OpenAPI 3.1, as it is kept in the repository. */
final class Description {
    private static final byte[] BYTES = bytes();

    private Description() {}

    static Endpoint endpoint() {
        Endpoint.Reply reply =
                new Endpoint.Reply(200, Endpoint.Reply.JSON, BYTES, Map.of("ETag", "\"" + Sheets.sha256(BYTES) + "\""));
        return new Endpoint("GET", Interface.HOME + "/openapi.json", Optional.empty(), Set.of(), asked -> reply);
    }

    private static byte[] bytes() {
        try (InputStream in = Description.class.getResourceAsStream("/org/tenmesh/web/openapi.json")) {
            if (in == null) {
                throw new IllegalStateException("the description of the interface is not in the program");
            }
            return in.readAllBytes();
        } catch (IOException failed) {
            throw new UncheckedIOException("the description of the interface cannot be read", failed);
        }
    }
}
