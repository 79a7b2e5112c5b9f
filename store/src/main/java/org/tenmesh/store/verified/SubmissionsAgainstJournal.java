package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What was said of submissions after they were laid out, against the journal. */
final class SubmissionsAgainstJournal {
    private static final String STORED = """
            select s.submission || ' (received on ' || s.received_on || '), version ' || v.version || ': client "' || v.client
                   || '", promised "' || coalesce(v.promised_on::text, '') || '", package "' || coalesce(v.package, '') || '", note "'
                   || coalesce(v.note, '') || '", because "' || v.reason || '", by ' || v.actor || ', '
                   || to_char(date_trunc('milliseconds', v.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
            from intake.submission_version v join intake.submission s on s.id = v.submission order by v.submission, v.version
            """;
    private static final String SAID = """
            select coalesce(s.submission || ' (received on ' || s.received_on || ')', e.subject) || ', version ' || (j ->> 'version')
                   || ': client "' || (j ->> 'client') || '", promised "' || (j ->> 'promised') || '", package "' || (j ->> 'package')
                   || '", note "' || (j ->> 'note') || '", because "' || (j ->> 'reason') || '", by ' || e.actor || ', '
                   || to_char(date_trunc('milliseconds', e.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
            from (select subject, actor, at, detail::jsonb as j from journal.entry where what = 'submission-changed') e
            left join intake.submission s on s.id = (j ->> 'id')::int
            order by (j ->> 'id')::int, (j ->> 'version')::int
            """;

    private SubmissionsAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        List<String> said = handle.createQuery(SAID).mapTo(String.class).list();
        List<String> left =
                new ArrayList<>(handle.createQuery(STORED).mapTo(String.class).list());
        found.compared(said.size());
        found.differ(
                said.stream()
                        .filter(one -> !left.remove(one))
                        .map(one -> "submission " + one + ": it is in the journal and not stored so")
                        .toList(),
                "changes of submissions");
        found.differ(
                left.stream()
                        .map(one -> "submission " + one
                                + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                "changes of submissions");
    }
}
