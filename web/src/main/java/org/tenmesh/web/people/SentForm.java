package org.tenmesh.web.people;

import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * What somebody sent after the sign-in had ended. It goes with the page to sign in, in the browser alone, and is sent again when the
 * person says so.
 *
 * @param to the address it was sent to
 * @param fields what was written, without the mark of the page; never a password
 */
public record SentForm(String to, Map<String, String> fields) {
    /** Before the names of its fields while somebody signs in. */
    private static final String KEPT = "kept-";

    private static final String TO = "again";
    private static final int MOST_FIELDS = 40;
    private static final Set<String> MARKS = Set.of("csrf");
    private static final Set<String> SECRETS = Set.of("password", "old", "fresh", "again");

    /** What everybody may read of it: fields that a person wrote or chose. */
    private static final Set<String> WRITTEN = Set.of("action", "reason", "name", "role", "note");

    public SentForm {
        Map<String, String> kept = new TreeMap<>(fields);
        kept.keySet().removeAll(MARKS);
        fields = Map.copyOf(kept);
    }

    /** Whether it has no password, which is never kept, and is as small as a page's own. */
    public static boolean canBeKept(Map<String, String> fields) {
        return fields.size() <= MOST_FIELDS && fields.keySet().stream().noneMatch(SECRETS::contains);
    }

    /** What is kept while somebody signs in; nothing where the form to sign in came alone. */
    static SentForm from(Map<String, String> signIn) {
        Map<String, String> fields = new TreeMap<>();
        signIn.forEach((name, value) -> {
            if (name.startsWith(KEPT)) {
                fields.put(name.substring(KEPT.length()), value);
            }
        });
        return new SentForm(signIn.getOrDefault(TO, ""), fields);
    }

    static SentForm none() {
        return new SentForm("", Map.of());
    }

    public boolean isEmpty() {
        return to.isEmpty();
    }

    /** The fields of the form to sign in that keep it. */
    public Map<String, String> kept() {
        Map<String, String> kept = new TreeMap<>();
        if (!isEmpty()) {
            kept.put(TO, to);
            fields.forEach((name, value) -> kept.put(KEPT + name, value));
        }
        return kept;
    }

    /** What a person wrote or chose in it, by the names of the fields. */
    public Map<String, String> written() {
        Map<String, String> written = new TreeMap<>(fields);
        written.keySet().retainAll(WRITTEN);
        written.values().removeIf(String::isBlank);
        return written;
    }
}
