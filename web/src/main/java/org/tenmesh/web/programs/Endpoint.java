package org.tenmesh.web.programs;

import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Scope;

/**
 * One line of the interface's route table.
 *
 * @param method GET or POST
 * @param path with {@code {name}} for its variable parts
 * @param scope that a token needs; empty = open to anybody
 * @param parameters that may stand behind the question mark; any other is refused
 */
public record Endpoint(String method, String path, Optional<Scope> scope, Set<String> parameters, Work work) {
    /** What answers. */
    interface Work {
        Reply answer(Asked asked);
    }

    /**
     * One request.
     *
     * @param token empty where the endpoint is open
     * @param accept the header of this name; what is wanted first stands first
     * @param key the header Idempotency-Key; empty text where there is none
     */
    record Asked(
            Optional<ProgramToken> token,
            Map<String, String> parts,
            Map<String, String> query,
            String accept,
            String key,
            byte[] body) {
        ProgramToken its() {
            return token.orElseThrow();
        }
    }

    /**
     * An answer.
     *
     * @param headers beside the content type
     */
    record Reply(int status, String contentType, byte[] body, Map<String, String> headers) {
        static final String JSON = "application/json; charset=utf-8";

        Reply with(String header, String value) {
            Map<String, String> all = new java.util.TreeMap<>(headers);
            all.put(header, value);
            return new Reply(status, contentType, body, all);
        }
    }
}
