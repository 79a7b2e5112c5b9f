package org.tenmesh.store.rows;

import java.util.List;
import org.jdbi.v3.core.Handle;

/** Ids that are needed before their rows are written. */
public final class Ids {
    private Ids() {}

    /** The next ids of a sequence, ascending. */
    public static List<Integer> next(Handle handle, String sequence, int count) {
        return handle.createQuery("select nextval('" + sequence + "') from generate_series(1, :count)")
                .bind("count", count)
                .mapTo(Integer.class)
                .list();
    }

    /** For the condition of a COPY, which takes no parameters: {@code in (1, 2, 3)}. */
    public static String in(List<Integer> ids) {
        return ids.isEmpty()
                ? "in (null)"
                : "in (" + ids.toString().substring(1, ids.toString().length() - 1) + ")";
    }
}
