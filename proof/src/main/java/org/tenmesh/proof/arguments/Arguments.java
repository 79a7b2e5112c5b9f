package org.tenmesh.proof.arguments;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads {@code --key value} pairs. */
public final class Arguments {
    private Arguments() {}

    /**
     * The values by key, without the dashes.
     *
     * @param keys that may be given
     * @return empty when a key is unknown, has no value or does not begin with two dashes
     */
    public static Optional<Map<String, String>> of(String[] arguments, Set<String> keys) {
        Map<String, String> given = new HashMap<>();
        for (int i = 0; i + 1 < arguments.length; i += 2) {
            String key = arguments[i].startsWith("--") ? arguments[i].substring(2) : "";
            if (!keys.contains(key)) {
                return Optional.empty();
            }
            given.put(key, arguments[i + 1]);
        }
        return arguments.length % 2 == 0 ? Optional.of(given) : Optional.empty();
    }
}
