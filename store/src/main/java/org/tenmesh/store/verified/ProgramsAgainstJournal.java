package org.tenmesh.store.verified;

import org.jdbi.v3.core.Handle;

/** Tokens of other programs and what those registered, against the journal. */
final class ProgramsAgainstJournal {
    private static final String MICROS = "'YYYY-MM-DD HH24:MI:SS.US'";
    private static final String TOKENS_STORED = """
            select t.program || ', ' || t.token_sha256 || ', register ' || t.register || ', ' || t.scopes || ', sees '
                   || case when t.own_only then 'own' else 'register' end || ', made by ' || t.made_by || ' '
                   || to_char(t.made_at at time zone 'UTC', MICROS) || ', ends ' || to_char(t.expires_at at time zone 'UTC', MICROS)
                   || coalesce(', withdrawn by ' || w.actor || ' ' || to_char(w.at at time zone 'UTC', MICROS) || ': ' || w.reason, '')
            from programs.token t left join programs.token_withdrawn w on w.token = t.id order by t.id
            """.replace("MICROS", MICROS);
    private static final String TOKENS_SAID = """
            with said as (
                select seq, subject, actor, what, detail::jsonb as j from journal.entry where what in ('token-made', 'token-withdrawn'))
            select m.subject || ', ' || (m.j ->> 'token-sha256') || ', register ' || (m.j ->> 'register') || ', '
                   || (m.j ->> 'scopes') || ', sees ' || (m.j ->> 'sees') || ', made by ' || m.actor || ' '
                   || to_char((m.j ->> 'made-at')::timestamptz at time zone 'UTC', MICROS) || ', ends '
                   || to_char((m.j ->> 'expires-at')::timestamptz at time zone 'UTC', MICROS)
                   || coalesce(', withdrawn by ' || w.actor || ' '
                               || to_char((w.j ->> 'withdrawn-at')::timestamptz at time zone 'UTC', MICROS) || ': ' || (w.j ->> 'reason'), '')
            from said m
            left join said w on w.what = 'token-withdrawn' and w.j ->> 'token-sha256' = m.j ->> 'token-sha256'
            where m.what = 'token-made' order by m.seq
            """.replace("MICROS", MICROS);
    private static final String REGISTERED_STORED = """
            select r.submission || ', program ' || r.program || ', key ' || r.key || ', ' || r.body_sha256 || ', token of '
                   || to_char(t.made_at at time zone 'UTC', MICROS) || ', kept '
                   || to_char(date_trunc('milliseconds', r.at) at time zone 'UTC', MICROS)
            from programs.registration r join programs.token t on t.id = r.token order by r.at, r.submission
            """.replace("MICROS", MICROS);
    private static final String REGISTERED_SAID = """
            select subject || ', ' || actor || ', key ' || (j ->> 'key') || ', ' || (j ->> 'sha256') || ', token of '
                   || to_char((j ->> 'token-made-at')::timestamptz at time zone 'UTC', MICROS) || ', kept '
                   || to_char(date_trunc('milliseconds', at) at time zone 'UTC', MICROS)
            from (select subject, actor, at, seq, detail::jsonb as j from journal.entry where what = 'registered') e order by seq
            """.replace("MICROS", MICROS);

    private ProgramsAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Findings.Rows.compare(handle, found, TOKENS_SAID, TOKENS_STORED, "token of ", "tokens of programs");
        Findings.Rows.compare(handle, found, REGISTERED_SAID, REGISTERED_STORED, "registration of ", "registrations");
    }
}
