package org.tenmesh.store.verified;

import org.jdbi.v3.core.Handle;

/** What was noted at the bench, and the badges of those who noted it, against the journal. */
final class BenchAgainstJournal {
    private static final String ACTS_STORED = """
            select coalesce(coalesce(d.former_name, d.name) || '/', '') || a.code || ': ' || a.what || ', step "' || a.step || '", about "'
                   || a.about || '", told "' || a.told || '", ' || a.kind || ', by ' || a.person || ', sent by ' || a.sent_by || ' from '
                   || a.device || ', ' || to_char(a.device_at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', kept '
                   || to_char(date_trunc('milliseconds', a.stored_at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || a.id
                   || case when a.measured = '' then '' else ', measured ' || a.measured end
            from bench.act a left join intake.day d on d.id = a.day order by a.seq
            """;
    private static final String ACTS_SAID = """
            select subject || ': ' || (j ->> 'what') || ', step "' || (j ->> 'step') || '", about "' || (j ->> 'about') || '", told "'
                   || (j ->> 'told') || '", ' || (j ->> 'kind') || ', by ' || actor || ', sent by ' || (j ->> 'sent-by') || ' from '
                   || (j ->> 'device') || ', '
                   || to_char((j ->> 'device-at')::timestamptz at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', kept '
                   || to_char(date_trunc('milliseconds', at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') || ', id ' || (j ->> 'id')
                   || case when coalesce(j ->> 'measured', '') = '' then '' else ', measured ' || (j ->> 'measured') end
            from (select subject, actor, at, seq, detail::jsonb as j from journal.entry where what = 'bench-act') e order by seq
            """;
    private static final String BADGES_STORED = """
            select person || ', code ' || code_sha256 || ', PIN ' ||
                   case when pin_hash = '' then 'none' else encode(sha256(convert_to(pin_hash, 'UTF8')), 'hex') end
                   || ', issued by ' || issued_by || ' '
                   || to_char(date_trunc('milliseconds', issued_at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
                   || case when withdrawn_at is null and withdrawn_by = '' then ', in use' else ', withdrawn by ' || withdrawn_by || ' '
                   || coalesce(to_char(date_trunc('milliseconds', withdrawn_at) at time zone 'UTC',
                                       'YYYY-MM-DD HH24:MI:SS.MS'), '') end
            from people.badge order by 1
            """;
    private static final String BADGES_SAID = """
            select coalesce((select p.name from people.former_name f join people.person p on p.id = f.person where f.name = i.subject),
                            i.subject) || ', code ' || i.code || ', PIN ' || coalesce(p.pin, 'none')
                   || ', issued by ' || i.actor || ' ' || to_char(i.at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
                   || case when w.code is null then ', in use' else ', withdrawn by ' || w.actor || ' '
                   || to_char(w.at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') end
            from (select subject, actor, at, detail::jsonb ->> 'code-sha256' as code from journal.entry
                  where what = 'badge-issued') i
            left join (select detail::jsonb ->> 'code-sha256' as code, detail::jsonb ->> 'pin-sha256' as pin
                       from journal.entry where what = 'badge-pin-chosen') p on p.code = i.code
            left join (select actor, at, detail::jsonb ->> 'code-sha256' as code from journal.entry
                       where what = 'badge-withdrawn') w
                on w.code = i.code
            order by 1
            """;

    private BenchAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Findings.Rows.compareInOrder(handle, found, ACTS_SAID, ACTS_STORED, "act at the bench ", "acts at the bench");
        Findings.Rows.compare(handle, found, BADGES_SAID, BADGES_STORED, "badge of ", "badges");
    }
}
