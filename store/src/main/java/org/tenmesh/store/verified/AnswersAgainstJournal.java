package org.tenmesh.store.verified;

import org.jdbi.v3.core.Handle;

/** What new readings said of causes, and the records that were fixed of it, against the journal. */
final class AnswersAgainstJournal {
    private static final String STORED = """
            select coalesce(d.former_name, d.name) || '/' || a.cause || ': ' || a.said || ', ' || a.changed || ' of ' || a.compared
                   || ' changed, ' || a.log10_ratio || ', ' || a.kind || ', ' || a.sentence || ', '
                   || to_char(date_trunc('milliseconds', a.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
            from causes.answer a join intake.day d on d.id = a.day order by a.id
            """;
    private static final String SAID = """
            select subject || ': ' || (detail::jsonb ->> 'said') || ', ' || (detail::jsonb ->> 'changed') || ' of '
                   || (detail::jsonb ->> 'compared') || ' changed, ' || (detail::jsonb ->> 'log10_ratio')::float8 || ', '
                   || (detail::jsonb ->> 'kind') || ', ' || (detail::jsonb ->> 'sentence') || ', '
                   || to_char(at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
            from journal.entry where what = 'cause-answered' order by seq
            """;

    private static final String STORED_RECORDS = """
            select coalesce(d.former_name, d.name) || ': ' || o.says || ', '
                   || to_char(date_trunc('milliseconds', o.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
            from causes.own_record o join intake.day d on d.id = o.day order by o.day
            """;
    private static final String FIXED_RECORDS = """
            select subject || ': ' || detail || ', ' || to_char(at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
            from journal.entry where what = 'own-record-fixed' order by seq
            """;

    private AnswersAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Findings.Rows.compareInOrder(handle, found, SAID, STORED, "answer to cause ", "answers to causes");
        Findings.Rows.compare(
                handle, found, FIXED_RECORDS, STORED_RECORDS, "own record of day ", "own records of days");
    }
}
