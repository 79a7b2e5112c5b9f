package org.tenmesh.store.verified;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Papers;

/** Lists of areas and permits against the journal. */
final class CustodyAgainstJournal {
    private static final DateTimeFormatter AT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ss.SSS").withZone(ZoneOffset.UTC);

    private CustodyAgainstJournal() {}

    static void papers(Handle handle, Findings found) {
        List<String> stored = new ArrayList<>();
        Papers.areaLists(handle).forEach(one -> stored.addAll(lines(Papers.Kind.AREAS, one)));
        Papers.permits(handle).forEach(one -> stored.addAll(lines(Papers.Kind.PERMIT, one)));
        List<String> said = handle.createQuery("""
                        select subject || ', version ' || (j ->> 'version') || case what
                               when :drafted then ', drafted by ' || actor || ' because "' || (j ->> 'reason') || '", digest ' || (j ->> 'sha256')
                               else ', signed by ' || actor || ' for ' || (j ->> 'from') end
                               || ', ' || to_char(at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS')
                        from (select what, subject, actor, at, seq, detail::jsonb as j from journal.entry
                              where what in (:drafted, :signed)) e order by seq
                        """)
                .bind("drafted", Papers.DRAFTED)
                .bind("signed", Papers.SIGNED)
                .mapTo(String.class)
                .list();
        found.compared(said.size());
        List<String> left = new ArrayList<>(stored);
        found.differ(
                said.stream()
                        .filter(line -> !left.remove(line))
                        .map(line -> line + ": it is in the journal and not stored so")
                        .toList(),
                "lists of areas and permits");
        found.differ(
                left.stream()
                        .map(line ->
                                line + ": it is not in the journal so, it was put in or changed outside the program")
                        .toList(),
                "lists of areas and permits");
    }

    private static List<String> lines(Papers.Kind kind, Draft<?> one) {
        String version = kind.word() + "/" + one.name() + ", version " + one.version();
        List<String> lines = new ArrayList<>();
        lines.add(version + ", drafted by " + one.draftedBy() + " because \"" + one.reason() + "\", digest "
                + one.sha256() + at(one.draftedAt()));
        one.signature()
                .ifPresent(signature -> lines.add(
                        version + ", signed by " + signature.by() + " for " + signature.from() + at(signature.at())));
        return lines;
    }

    private static String at(Instant at) {
        return ", " + AT.format(at);
    }
}
