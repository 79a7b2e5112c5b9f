package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What new readings said of causes, against the journal. */
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

    private AnswersAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        List<String> said = handle.createQuery(SAID).mapTo(String.class).list();
        List<String> left =
                new ArrayList<>(handle.createQuery(STORED).mapTo(String.class).list());
        found.compared(said.size());
        List<String> gone = said.stream().filter(one -> !left.remove(one)).toList();
        found.differ(
                gone.stream()
                        .map(one -> "answer to cause " + one + ": it is in the journal and not stored so")
                        .toList(),
                "answers to causes");
        found.differ(
                left.stream()
                        .map(one -> "answer to cause " + one
                                + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                "answers to causes");
    }
}
