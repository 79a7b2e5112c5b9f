package org.tenmesh.store.verified;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.Sheets;

/** Clients' worksheets against the journal: the files as they came, each version of what the dock said, and how each was settled. */
final class WorksheetsAgainstJournal {
    private static final String STORED = """
            select w.submission, v.version, v.client, v.promised_on, v.package, v.note, v.reason, v.actor, v.at,
                   case when v.version = 1 then w.file_name || ', ' || w.sha256 || ', '
                        || case when w.sha256 = encode(sha256(w.bytes), 'hex') and w.actor = v.actor and w.at = v.at
                           then 'as it came' else 'changed' end else '' end as file
            from intake.worksheet_version v join intake.worksheet w on w.id = v.worksheet
            order by w.id, v.version
            """;
    private static final String SAID = """
            select subject as submission, coalesce((detail::jsonb ->> 'version')::int, 1) as version, actor, at,
                   detail::jsonb ->> 'client' as client, coalesce(detail::jsonb ->> 'reason', '') as reason,
                   case when what = 'worksheet-taken'
                        then (detail::jsonb ->> 'file') || ', ' || (detail::jsonb ->> 'sha256') || ', as it came' else '' end as file,
                   detail::jsonb ->> 'said-sha256' as said
            from journal.entry where what in ('worksheet-taken', 'worksheet-changed') order by seq
            """;
    private static final String SETTLED = """
            select w.submission || ', ' || case when s.laid_out then 'worksheet-laid-out' else 'worksheet-left' end || ', ' || s.reason
                   || ', ' || s.actor || ', ' || to_char(date_trunc('milliseconds', s.at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
            from intake.worksheet_settled s left join intake.worksheet w on w.id = s.worksheet
            """;
    private static final String SAID_SETTLED = """
            select subject || ', ' || what || ', ' || coalesce(detail::jsonb ->> 'reason', '') || ', ' || actor || ', '
                   || to_char(at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS')
            from journal.entry where what in ('worksheet-laid-out', 'worksheet-left') order by seq
            """;

    private WorksheetsAgainstJournal() {}

    /** @param said digest of everything that was said; empty of entries from before it was kept */
    private record Version(
            String submission,
            int version,
            String client,
            String reason,
            String actor,
            Instant at,
            String file,
            Optional<String> said) {
        String key() {
            return submission + ", version " + version;
        }

        boolean is(Version other) {
            return key().equals(other.key())
                    && client.equals(other.client)
                    && reason.equals(other.reason)
                    && actor.equals(other.actor)
                    && at.equals(other.at)
                    && file.equals(other.file)
                    && (said.isEmpty() || said.equals(other.said));
        }
    }

    static void check(Handle handle, Findings found) {
        List<Version> left = new ArrayList<>(handle.createQuery(STORED)
                .map((rs, ctx) -> version(rs, Optional.of(digest(rs))))
                .list());
        List<Version> said = handle.createQuery(SAID)
                .map((rs, ctx) -> version(rs, Optional.ofNullable(rs.getString("said"))))
                .list();
        found.compared(said.size());
        for (Version one : said) {
            Optional<Version> its =
                    left.stream().filter(kept -> kept.key().equals(one.key())).findFirst();
            its.ifPresent(left::remove);
            if (its.isEmpty()) {
                found.differs("worksheet of submission " + one.key() + " is gone");
            } else if (!one.is(its.get())) {
                found.differs("worksheet of submission " + one.key() + " is not as it was taken or said");
            }
        }
        left.forEach(one -> found.differs(
                "worksheet of submission " + one.key() + " is not in the journal: it was put in outside the program"));
        handle.createQuery("""
                        select w.submission from intake.worksheet w
                        where not exists (select from intake.worksheet_version v where v.worksheet = w.id)
                        """)
                .mapTo(String.class)
                .forEach(name ->
                        found.differs("worksheet of submission " + name + " has nothing that the dock said of it"));
        Findings.Rows.compare(
                handle, found, SAID_SETTLED, SETTLED, "what became of the worksheet of submission ", "worksheets");
    }

    private static Version version(ResultSet rs, Optional<String> said) throws SQLException {
        return new Version(
                rs.getString("submission"),
                rs.getInt("version"),
                rs.getString("client"),
                rs.getString("reason"),
                rs.getString("actor"),
                rs.getObject("at", OffsetDateTime.class).toInstant().truncatedTo(ChronoUnit.MILLIS),
                rs.getString("file"),
                said);
    }

    private static String digest(ResultSet rs) throws SQLException {
        return Sheets.digest(new KeptSheet.Said(
                rs.getString("client"),
                Optional.ofNullable(rs.getObject("promised_on", LocalDate.class)),
                Optional.ofNullable(rs.getString("package")),
                Optional.ofNullable(rs.getString("note"))));
    }
}
