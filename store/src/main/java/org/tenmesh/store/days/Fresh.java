package org.tenmesh.store.days;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.tenmesh.store.rows.Refused;

/** What of an import is not there yet. */
final class Fresh {
    private Fresh() {}

    /**
     * Those given that are not known; what is known must be the same.
     *
     * @param key names one of them
     * @throws Refused when one that is known, or given twice, is not the same
     */
    static <T> List<T> of(List<T> given, List<T> known, Function<T, String> key, String where, String what) {
        Map<String, T> seen = new HashMap<>();
        for (T one : known) {
            seen.put(key.apply(one), one);
        }
        List<T> fresh = new ArrayList<>();
        for (T one : given) {
            T before = seen.putIfAbsent(key.apply(one), one);
            if (before == null) {
                fresh.add(one);
            } else if (!before.equals(one)) {
                throw new Refused(where + " has " + what + " " + key.apply(one) + " already, and it is not the same: "
                        + before + " there, " + one + " in this import; nothing of the import was stored");
            }
        }
        return fresh;
    }
}
