package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What new readings said of causes, and the records that were fixed of it, against the journal. */
final class AnswersAgainstJournal {
    private static final String STORED = """
            select coalesce(d.former_name, d.name) || '/' || a.cause || ': ' || a.said || ', ' || a.changed || ' of ' || a.compared
                   || ' changed, ' || a.log10_ratio || ', ' || a.kind || ', ' || a.sentence as says
            from causes.answer a join intake.day d on d.id = a.day order by a.id
            """;
    private static final String SAID = """
            select subject || ': ' || (detail::jsonb ->> 'said') || ', ' || (detail::jsonb ->> 'changed') || ' of '
                   || (detail::jsonb ->> 'compared') || ' changed, ' || (detail::jsonb ->> 'log10_ratio')::float8 || ', '
                   || (detail::jsonb ->> 'kind') || ', ' || (detail::jsonb ->> 'sentence') as says
            from journal.entry where what = 'cause-answered' order by seq
            """;

    private static final String STORED_RECORDS = """
            select coalesce(d.former_name, d.name) || ': ' || o.says as says
            from causes.own_record o join intake.day d on d.id = o.day order by o.day
            """;
    private static final String FIXED_RECORDS =
            "select subject || ': ' || detail as says from journal.entry where what = 'own-record-fixed' order by seq";

    private AnswersAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        check(handle, found, SAID, STORED, "answer to cause ", "answers to causes");
        check(handle, found, FIXED_RECORDS, STORED_RECORDS, "own record of day ", "own records of days");
    }

    private static void check(
            Handle handle, Findings found, String inJournal, String stored, String one, String several) {
        List<String> said = handle.createQuery(inJournal).mapTo(String.class).list();
        List<String> left =
                new ArrayList<>(handle.createQuery(stored).mapTo(String.class).list());
        found.compared(said.size());
        List<String> gone = said.stream().filter(its -> !left.remove(its)).toList();
        found.differ(
                gone.stream()
                        .map(its -> one + its + ": it is in the journal and not stored so")
                        .toList(),
                several);
        found.differ(
                left.stream()
                        .map(its -> one + its + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                several);
    }
}
