package org.tenmesh.store.programs;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.jdbi.v3.core.Jdbi;

/**
 * What changed, in the order of the journal, for programs that follow. The journal's writers come one after the other, so that who has read up to
 * an entry has missed none before it. Nothing here names a lab number, a control or a client.
 */
public final class Changes {
    /** A name in the subject of a release stands between its day and its revision and may itself hold a slash. */
    private static final String ASKED = """
            with e as (
                select seq, at, what, subject from journal.entry
                where what in ('worksheet-taken', 'worksheet-changed', 'worksheet-left', 'worksheet-laid-out', 'released', 'day-taken')
                  and seq > :after
                order by seq
            )
            select e.seq, e.at,
                   case e.what when 'released' then 'released' when 'day-taken' then 'day-taken'
                               else 'submission' || substr(e.what, 10) end as what,
                   case when e.what = 'released' then s.submission when e.what <> 'day-taken' then e.subject end as submission,
                   s.received_on, r.revision, case when e.what = 'day-taken' then d.name end as day
            from e
            left join intake.day d on e.what in ('released', 'day-taken')
                and coalesce(d.former_name, d.name) = split_part(e.subject, '/', 1)
            left join release.release r on e.what = 'released' and r.day = d.id
                and e.subject = split_part(e.subject, '/', 1) || '/' || r.submission || '/' || r.revision
            left join intake.submission s on s.id = r.submission_id
            where (e.what not in ('released', 'day-taken') or d.register = :register)
              and (e.what <> 'released' or s.id is not null)
              and (not :own or (e.what <> 'day-taken' and exists (
                    select from programs.registration p where p.program = :program
                    and p.submission = case when e.what = 'released' then s.submission else e.subject end)))
            order by e.seq limit :most
            """;

    private final Jdbi app;

    public Changes(Jdbi app) {
        this.app = app;
    }

    /** What a token may know that came after an entry of the journal, at most so many changes. */
    public List<Change> after(ProgramToken token, long seq, int most) {
        return app.withHandle(handle -> handle.createQuery(ASKED)
                .bind("after", seq)
                .bind("register", token.register())
                .bind("own", token.ownOnly())
                .bind("program", token.program())
                .bind("most", most)
                .map((rs, ctx) -> change(rs))
                .list());
    }

    private static Change change(ResultSet rs) throws SQLException {
        int revision = rs.getInt("revision");
        OptionalInt said = rs.wasNull() ? OptionalInt.empty() : OptionalInt.of(revision);
        return new Change(
                rs.getLong("seq"),
                rs.getObject("at", OffsetDateTime.class).toInstant(),
                rs.getString("what"),
                Optional.ofNullable(rs.getString("submission")),
                Optional.ofNullable(rs.getObject("received_on", LocalDate.class)),
                said,
                Optional.ofNullable(rs.getString("day")));
    }
}
