package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.equipment.EquipmentRows;

/** Lots, equipment and what was noted about them against the journal, which says each row in one line. */
final class EquipmentAgainstJournal {
    private EquipmentAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Map<String, List<String>> stored = new TreeMap<>(EquipmentRows.lines(handle));
        stored.forEach((what, lines) -> compare(handle, found, what, lines));
    }

    private static void compare(Handle handle, Findings found, String what, List<String> stored) {
        List<String> said = handle.createQuery(
                        "select detail::jsonb ->> 'says' from journal.entry where what = :what order by seq")
                .bind("what", what)
                .mapTo(String.class)
                .list();
        found.compared(said.size());
        List<String> left = new ArrayList<>(stored);
        found.differ(
                said.stream()
                        .filter(one -> !left.remove(one))
                        .map(one -> one + ": it is in the journal and not stored so")
                        .toList(),
                "lots and equipment");
        found.differ(
                left.stream()
                        .map(one -> one + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                "lots and equipment");
    }
}
