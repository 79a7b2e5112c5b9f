package org.tenmesh.store.verified;

import org.jdbi.v3.core.Handle;

/** What was done at the dock against the journal: every act, in its order. */
final class DockAgainstJournal {
    private static final String STORED = """
            select w.submission || ': ' || a.what || ' ' || a.number || ', about "' || a.about || '", says "' || a.says || '", reason "'
                   || a.reason || '", by ' || a.actor || ', '
                   || to_char(date_trunc('milliseconds', a.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || a.id
            from intake.dock_act a join intake.worksheet w on w.id = a.worksheet order by a.seq
            """;
    private static final String SAID = """
            select subject || ': ' || (j ->> 'what') || ' ' || (j ->> 'number') || ', about "' || (j ->> 'about') || '", says "'
                   || (j ->> 'says') || '", reason "' || (j ->> 'reason') || '", by ' || actor || ', '
                   || to_char(date_trunc('milliseconds', at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || (j ->> 'id')
            from (select subject, actor, at, seq, detail::jsonb as j from journal.entry where what = 'dock-act') e order by seq
            """;

    private DockAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Findings.Rows.compareInOrder(handle, found, SAID, STORED, "act at the dock ", "acts at the dock");
    }
}
