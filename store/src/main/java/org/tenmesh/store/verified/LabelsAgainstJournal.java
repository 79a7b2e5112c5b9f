package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.labels.Printings;

/** Labels that were printed against the journal. */
final class LabelsAgainstJournal {
    private LabelsAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        List<String> said = handle.createQuery("""
                        select (detail::jsonb ->> 'id') || ', digest ' || (detail::jsonb ->> 'sha256') from journal.entry
                        where what = :what order by seq
                        """)
                .bind("what", Printings.ENTRY)
                .mapTo(String.class)
                .list();
        found.compared(said.size());
        Set<String> stored = new HashSet<>(Printings.kept(handle));
        List<String> gone = new ArrayList<>();
        for (String line : said) {
            if (!stored.remove(line)) {
                gone.add("labels printed, number " + line + ": it is in the journal and not stored so");
            }
        }
        found.differ(gone, "labels printed");
        found.differ(
                stored.stream()
                        .sorted()
                        .map(line -> "labels printed, number " + line
                                + ": it is not in the journal so, it was put in or changed outside the program")
                        .toList(),
                "labels printed");
    }
}
