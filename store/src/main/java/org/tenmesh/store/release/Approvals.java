package org.tenmesh.store.release;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Who did the work behind a submission, and whether somebody else has to sign. May be used by several threads. */
public final class Approvals {
    /**
     * One row for each person and place. Each part begins at the soils or the submission and finds what was noted of them by an index: years of notes
     * are not read. Racks hold bags before soils have numbers, so what was done with a rack counts from the note that
     * put the submission on it until the rack was laid out. An arrival counts where it was taken in the name of a person.
     */
    private static final String WORK = """
            with soil as (
                select n.register, n.lab_number from intake.came_in c join intake.soil n on n.id = c.soil where c.submission = :submission
            ), run as (
                select distinct r.id, r.run, r.operator
                from soil s join reading.identity i on i.identity = s.lab_number
                join (select id, run, operator, day from reading.run
                      union all select id, run, operator, day from reading.under_way) r on r.id = i.run
                join intake.day d on d.id = r.day and d.register = s.register
            ), tray as (
                select distinct t.day, t.tray
                from soil s join layout.place p on p.lab_number = s.lab_number
                join layout.tray t on t.id = p.tray
                join intake.day d on d.id = t.day and d.register = s.register
            ), loaded as (
                select l.code, l.seq,
                       coalesce((select min(o.seq) from bench.act o
                                 where o.day is null and o.kind = 'rack' and o.code = l.code and o.seq > l.seq and o.what = 'done'
                                   and o.step like '%.lay-out'
                                   and not exists (select from bench.act t where t.what = 'taken-back' and t.about = o.id)),
                                9223372036854775807) as until
                from bench.act l
                where l.what = 'loaded' and l.kind = 'rack'
                  and l.about = (select u.submission from intake.submission u where u.id = :submission)
                  and not exists (select from bench.act t where t.what = 'taken-back' and t.about = l.id)
            ), noted as (
                select a.id, a.person, 'tray ' || a.code as place, a.what
                from tray t join bench.act a on a.day = t.day and a.code = t.tray and a.kind = 'tray'
                union
                select a.id, a.person, 'soil ' || a.code, a.what
                from soil s join bench.act a on a.kind = 'soil' and a.code = s.lab_number
                join intake.day d on d.id = a.day and d.register = s.register
                union
                select a.id, a.person, 'rack ' || a.code, a.what
                from loaded l join bench.act a on a.day is null and a.kind = 'rack' and a.code = l.code
                 and a.seq between l.seq and l.until
            ), work as (
            select person, 'NOTED' as kind, place, count(*) as times from noted n
            where n.what <> 'taken-back'
              and not exists (select from bench.act t where t.what = 'taken-back' and t.about = n.id)
            group by person, place
            union all
            select a.actor, 'ENTERED', r.run, count(*)
            from run r join capture.part p on p.run = r.id
            join capture.arrival a on a.id = p.arrival
            join reading.reading g on g.run = r.id and g.line between p.first_line and p.last_line
            join soil s on s.lab_number = g.identity
            where exists (select from people.person w where w.name = a.actor)
               or exists (select from people.former_name w where w.name = a.actor)
            group by a.actor, r.run
            union all
            select r.operator, 'RAN', r.run, 1 from run r where btrim(r.operator) <> ''
            )
            select coalesce(p.name, w.person) as person, w.kind, w.place, w.times
            from work w
            left join people.former_name f on lower(f.name) = lower(w.person)
            left join people.person p on p.id = f.person
            order by 1, 2, 3
            """;

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    public Approvals(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    /** What holds now. */
    public SecondPerson rule() {
        return app.withHandle(Approvals::rule);
    }

    static SecondPerson rule(Handle handle) {
        return handle.createQuery("select * from release.second_person order by number desc limit 1")
                .map((rs, ctx) -> rule(rs))
                .findOne()
                .orElseGet(SecondPerson::shipped);
    }

    private static SecondPerson rule(ResultSet rs) throws SQLException {
        return new SecondPerson(
                rs.getLong("number"),
                rs.getBoolean("asked"),
                rs.getString("reason"),
                rs.getString("signed_by"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    /** Every decision that was signed, the newest first. */
    public List<SecondPerson> rules() {
        return app.withHandle(handle -> handle.createQuery("select * from release.second_person order by number desc")
                .map((rs, ctx) -> rule(rs))
                .list());
    }

    /**
     * Signs whether a second person is asked for from now on.
     *
     * @throws Refused without a reason or a name, or where nothing would change
     */
    public SecondPerson sign(boolean asked, String reason, String person) {
        if (reason.isBlank() || person.isBlank()) {
            throw new Refused(
                    "whether a second person signs is decided with a reason, by a person; nothing was changed");
        }
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        return app.inTransaction(handle -> {
            handle.execute("select pg_advisory_xact_lock(hashtext('release.second_person'))");
            SecondPerson before = rule(handle);
            if (before.asked() == asked) {
                throw new Refused(
                        "a second person is " + (asked ? "" : "not ") + "asked for already; nothing was changed");
            }
            SecondPerson rule = new SecondPerson(before.number() + 1, asked, reason.strip(), person, now);
            handle.createUpdate("""
                            insert into release.second_person (number, asked, reason, signed_by, at)
                            values (:number, :asked, :reason, :person, :at)
                            """)
                    .bind("number", rule.number())
                    .bind("asked", asked)
                    .bind("reason", rule.reason())
                    .bind("person", person)
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle,
                    now,
                    person,
                    "second-person-decided",
                    Long.toString(rule.number()),
                    Json.object("asked", asked, "reason", rule.reason()));
            return rule;
        });
    }

    /** The work behind a submission in the view of a day; empty where the day has no such submission. */
    public List<WorkBehind> workBehind(String day, String submission) {
        return app.inTransaction(handle -> Days.id(handle, day)
                .flatMap(known ->
                        Optional.ofNullable(Days.submissionNames(handle, known).get(submission)))
                .map(id -> workBehind(handle, id))
                .orElse(List.of()));
    }

    static List<WorkBehind> workBehind(Handle handle, int submission) {
        return handle.createQuery(WORK)
                .bind("submission", submission)
                .map((rs, ctx) -> new WorkBehind(
                        rs.getString("person").strip(),
                        WorkBehind.Kind.valueOf(rs.getString("kind")),
                        rs.getString("place"),
                        rs.getInt("times")))
                .list();
    }

    /** What each revision of a submission says of its approval, by revision; releases from before this was kept are not among them. */
    public Map<Integer, String> of(String day, String submission) {
        return app.inTransaction(handle -> {
            Map<Integer, String> says = new LinkedHashMap<>();
            Days.id(handle, day)
                    .flatMap(known -> Optional.ofNullable(
                            Days.submissionNames(handle, known).get(submission)))
                    .ifPresent(id -> handle.createQuery("""
                                    select revision, approval from release.release where submission_id = :id and approval <> '' order by revision
                                    """)
                            .bind("id", id)
                            .map((rs, ctx) -> Map.entry(rs.getInt("revision"), rs.getString("approval")))
                            .forEach(one -> says.put(one.getKey(), one.getValue())));
            return says;
        });
    }
}
