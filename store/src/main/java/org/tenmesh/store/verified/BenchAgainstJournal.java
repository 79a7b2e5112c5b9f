package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;

/** What was noted at the bench, and the badges of those who noted it, against the journal. */
final class BenchAgainstJournal {
    private static final String ACTS_STORED = """
            select coalesce(coalesce(d.former_name, d.name) || '/', '') || a.code || ': ' || a.what || ', step "' || a.step || '", about "'
                   || a.about || '", told "' || a.told || '", ' || a.kind || ', by ' || a.person || ', sent by ' || a.sent_by || ' from '
                   || a.device || ', ' || to_char(a.device_at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', kept '
                   || to_char(date_trunc('milliseconds', a.stored_at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || a.id
            from bench.act a left join intake.day d on d.id = a.day order by a.seq
            """;
    private static final String ACTS_SAID = """
            select subject || ': ' || (j ->> 'what') || ', step "' || (j ->> 'step') || '", about "' || (j ->> 'about') || '", told "'
                   || (j ->> 'told') || '", ' || (j ->> 'kind') || ', by ' || actor || ', sent by ' || (j ->> 'sent-by') || ' from '
                   || (j ->> 'device') || ', '
                   || to_char((j ->> 'device-at')::timestamptz at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', kept '
                   || to_char(date_trunc('milliseconds', at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || (j ->> 'id')
            from (select subject, actor, at, seq, detail::jsonb as j from journal.entry where what = 'bench-act') e order by seq
            """;
    private static final String BADGES_STORED = """
            select person || ', code ' || left(code_sha256, 12) || ', PIN ' ||
                   case when pin_hash = '' then 'none' else left(encode(sha256(convert_to(pin_hash, 'UTF8')), 'hex'), 12) end
                   || case when withdrawn_at is null then ', in use' else ', withdrawn' end
            from people.badge order by 1
            """;
    private static final String BADGES_SAID = """
            select coalesce((select p.name from people.former_name f join people.person p on p.id = f.person where f.name = i.subject),
                            i.subject) || ', code ' || left(i.code, 12) || ', PIN ' || coalesce(left(p.pin, 12), 'none')
                   || case when w.code is null then ', in use' else ', withdrawn' end
            from (select subject, detail::jsonb ->> 'code-sha256' as code from journal.entry where what = 'badge-issued') i
            left join (select detail::jsonb ->> 'code-sha256' as code, detail::jsonb ->> 'pin-sha256' as pin
                       from journal.entry where what = 'badge-pin-chosen') p on p.code = i.code
            left join (select detail::jsonb ->> 'code-sha256' as code from journal.entry where what = 'badge-withdrawn') w
                on w.code = i.code
            order by 1
            """;

    private BenchAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        compare(handle, found, ACTS_SAID, ACTS_STORED, "act at the bench ", "acts at the bench");
        compare(handle, found, BADGES_SAID, BADGES_STORED, "badge of ", "badges");
    }

    private static void compare(
            Handle handle, Findings found, String saidQuery, String storedQuery, String one, String many) {
        List<String> said = handle.createQuery(saidQuery).mapTo(String.class).list();
        List<String> left = new ArrayList<>(
                handle.createQuery(storedQuery).mapTo(String.class).list());
        found.compared(said.size());
        if (said.equals(left)) {
            return;
        }
        List<String> gone = said.stream().filter(says -> !left.remove(says)).toList();
        found.differ(
                gone.stream()
                        .map(says -> one + says + ": it is in the journal and not stored so")
                        .toList(),
                many);
        found.differ(
                left.stream()
                        .map(says -> one + says + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                many);
    }
}
