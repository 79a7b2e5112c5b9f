package org.tenmesh.store.verified;

import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.days.Contents;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.RowDigests;
import org.tenmesh.store.release.Releases;

/** Compares releases with what the journal says was signed. */
final class ReleasesAgainstJournal {
    private ReleasesAgainstJournal() {}

    /** @param day as the journal calls it */
    static void ofDay(Handle handle, String day, int dayId, Findings found) throws SQLException {
        record Signed(
                int id,
                boolean named,
                boolean counted,
                String submission,
                int revision,
                String signedBy,
                OffsetDateTime signedAt,
                String reason,
                String approval,
                String saidApproval,
                long seq,
                String actor,
                Instant at,
                String saidReason,
                String saidAt,
                String results,
                String list) {}
        List<Signed> all = handle.createQuery("""
                        select r.id,
                               coalesce(r.submission in (u.submission, u.submission || ' (' || u.received_on || ')')
                                   and u.register = d.register, false) as named,
                               r.held = (select count(*) from release.result h where h.release = r.id and h.held_because <> '')
                                   as counted,
                               r.submission, r.revision, r.signed_by, r.signed_at, r.signed_offset, r.reason, r.approval,
                               coalesce(e.detail::jsonb ->> 'approval', '') as said_approval,
                               coalesce(e.seq, 0) as seq, coalesce(e.actor, '') as actor, coalesce(e.at, r.signed_at) as at,
                               coalesce(e.detail::jsonb ->> 'reason', '') as said_reason,
                               coalesce(e.detail::jsonb ->> 'signed-at', '') as said_at,
                               coalesce(e.detail::jsonb ->> 'results-sha256', '') as results,
                               coalesce(e.detail::jsonb -> 'contents' -> 'results' ->> 1, '') as list
                        from release.release r
                        join intake.day d on d.id = r.day
                        left join intake.submission u on u.id = r.submission_id
                        left join journal.entry e
                            on e.subject = :day || '/' || r.submission || '/' || r.revision and e.what = 'released'
                        where d.id = :id
                        order by r.submission, r.revision, e.seq
                        """)
                .bind("day", day)
                .bind("id", dayId)
                .map((rs, ctx) -> new Signed(
                        rs.getInt("id"),
                        rs.getBoolean("named"),
                        rs.getBoolean("counted"),
                        rs.getString("submission"),
                        rs.getInt("revision"),
                        rs.getString("signed_by"),
                        Days.at(
                                rs.getObject("signed_at", OffsetDateTime.class).toInstant(),
                                rs.getInt("signed_offset")),
                        rs.getString("reason"),
                        rs.getString("approval"),
                        rs.getString("said_approval"),
                        rs.getLong("seq"),
                        rs.getString("actor"),
                        rs.getObject("at", OffsetDateTime.class).toInstant(),
                        rs.getString("said_reason"),
                        rs.getString("said_at"),
                        rs.getString("results"),
                        rs.getString("list")))
                .list();
        for (Signed one : all) {
            found.compared(1);
            String what = "day " + day + ": release " + one.revision() + " of submission " + one.submission();
            if (!one.named()) {
                found.differs(what + " was put under another submission");
            }
            if (!one.counted()) {
                found.differs(what + " says of another number of results that they are held");
            }
            if (one.seq() == 0) {
                found.differs(what + " is not in the journal: it was put in outside the program");
                continue;
            }
            String entry = " (journal entry " + one.seq() + ")";
            if (!one.signedBy().equals(one.actor())) {
                found.differs(what + " is signed by " + one.signedBy() + ", the journal says " + one.actor() + entry);
            }
            boolean sameTime = one.saidAt().isEmpty()
                    ? one.signedAt().toInstant().truncatedTo(ChronoUnit.MILLIS).equals(one.at())
                    : one.signedAt().toString().equals(one.saidAt());
            if (!sameTime) {
                found.differs(what + " is dated " + one.signedAt() + ", the journal says "
                        + (one.saidAt().isEmpty() ? one.at() : one.saidAt()) + entry);
            }
            if (!one.reason().equals(one.saidReason())) {
                found.differs(what + " gives the reason \"" + one.reason() + "\", the journal says \""
                        + one.saidReason() + "\"" + entry);
            }
            if (!one.approval().equals(one.saidApproval())) {
                found.differs(what + " says of its approval \"" + one.approval() + "\", the journal says \""
                        + one.saidApproval() + "\"" + entry);
            }
            results(handle, what, entry, one.id(), one.results(), one.list(), found);
        }
    }

    private static void results(
            Handle handle, String what, String entry, int release, String sha256, String list, Findings found)
            throws SQLException {
        var results = Releases.results(handle.getConnection(), release);
        Map<String, String> now = Contents.results(results).byName();
        found.compared(now.size());
        List<String> wrong = new ArrayList<>();
        RowDigests.kept(handle, list).ifPresent(kept -> {
            kept.byName().forEach((name, digest) -> {
                String present = now.get(name);
                if (present == null) {
                    wrong.add(what + ": the result " + name + " is gone" + entry);
                } else if (!present.equals(digest)) {
                    wrong.add(what + ": the result " + name + " was changed after it was signed" + entry);
                }
            });
            now.keySet().stream()
                    .filter(name -> !kept.byName().containsKey(name))
                    .forEach(name ->
                            wrong.add(what + ": the result " + name + " was put in after it was signed" + entry));
        });
        if (wrong.isEmpty() && !Releases.resultsDigest(results).equals(sha256)) {
            wrong.add(what + ": its results are not those that were signed" + entry);
        } else if (wrong.isEmpty()
                && !list.isEmpty()
                && RowDigests.kept(handle, list).isEmpty()) {
            wrong.add(what + ": the digests of its results that the journal vouches for are gone or were changed"
                    + entry);
        }
        found.differ(wrong, what + ": results");
    }

    /** The decisions on whether a second person signs, each as it was signed and in its order. */
    static void secondPerson(Handle handle, Findings found) {
        Findings.Rows.compareInOrder(
                handle, found, """
                select subject || ': ' || (detail::jsonb ->> 'asked') || ', ' || (detail::jsonb ->> 'reason') || ', by ' || actor || ' '
                       || to_char(at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
                from journal.entry where what = 'second-person-decided' order by seq
                """, """
                select number || ': ' || asked || ', ' || reason || ', by ' || signed_by || ' '
                       || to_char(date_trunc('milliseconds', at) at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS') as says
                from release.second_person order by number
                """, "decision on the second person ", "decisions on the second person");
    }

    /** The reports as they are kept: their bytes have the digest that the journal says, and no report is gone. */
    static void reports(Handle handle, Findings found) {
        record Kept(
                String subject, boolean there, String kept, String present, String said, boolean asMade, long seq) {}
        handle.createQuery("""
                        select coalesce(d.former_name, d.name) || '/' || r.submission || '/' || r.revision as subject,
                               p.release is not null as there, coalesce(p.sha256, '') as kept,
                               coalesce(encode(sha256(p.pdf), 'hex'), '') as present,
                               coalesce(e.detail::jsonb ->> 'report-sha256', '') as said, coalesce(e.seq, 0) as seq,
                               coalesce(p.made_later = (e.what = 'report-made-later')
                                   and date_trunc('milliseconds', p.made_at) = e.at
                                   and p.paper || ', ' || p.layout = coalesce(
                                       e.detail::jsonb ->> 'report-form', p.paper || ', ' || p.layout), false) as as_made
                        from release.release r
                        join intake.day d on d.id = r.day
                        left join release.report p on p.release = r.id
                        left join lateral (
                            select j.detail, j.seq, j.what, j.at from journal.entry j
                            where j.subject = coalesce(d.former_name, d.name) || '/' || r.submission || '/' || r.revision
                              and j.what in ('released', 'report-made-later')
                              and j.detail::jsonb ->> 'report-sha256' is not null
                            order by j.seq limit 1) e on true
                        where p.release is not null or e.seq is not null
                        order by r.id
                        """)
                .map((rs, ctx) -> new Kept(
                        rs.getString("subject"),
                        rs.getBoolean("there"),
                        rs.getString("kept"),
                        rs.getString("present"),
                        rs.getString("said"),
                        rs.getBoolean("as_made"),
                        rs.getLong("seq")))
                .forEach(one -> {
                    found.compared(1);
                    String what = "the report of release " + one.subject() + " (day/submission/revision)";
                    String entry = " (journal entry " + one.seq() + ")";
                    if (!one.there()) {
                        found.differs(what + " is gone" + entry);
                    } else if (one.seq() == 0) {
                        found.differs(what + " is not in the journal: it was put in outside the program");
                    } else if (!one.present().equals(one.said())) {
                        found.differs(what + " is not the file that was made: its bytes were changed" + entry);
                    } else if (!one.kept().equals(one.said())) {
                        found.differs(what + " is kept under another digest than the journal says" + entry);
                    } else if (!one.asMade()) {
                        found.differs(what + " was made at another time or in another form, the journal says" + entry);
                    }
                });
    }

    static void missing(Handle handle, Findings found) {
        handle.createQuery("""
                        select e.subject, e.actor, e.at, e.seq from journal.entry e
                        where e.what = 'released' and not exists (
                            select from release.release r join intake.day d on d.id = r.day
                            where coalesce(d.former_name, d.name) || '/' || r.submission || '/' || r.revision = e.subject)
                        order by e.seq
                        """)
                .map((rs, ctx) -> "release " + rs.getString("subject") + " (day/submission/revision), signed by "
                        + rs.getString("actor") + " on "
                        + rs.getObject("at", OffsetDateTime.class).toInstant()
                        + ", is gone (journal entry " + rs.getLong("seq") + ")")
                .forEach(found::differs);
    }
}
