package org.tenmesh.store.judged;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
import java.util.List;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.GateAct;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** What was done about causes: written once, in order. */
public final class Causes {
    private final Jdbi app;
    private final Journal journal;

    public Causes(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    public Acted act(String day, Grounds grounds, Action action, String reason, String actor, Instant at) {
        if (action.needsReason() && reason.isBlank()) {
            throw new Refused("\"" + action.phrase() + "\" needs a reason in words; nothing was stored");
        }
        if (grounds.cause().isBlank() || actor.isBlank()) {
            throw new Refused("what is done about a cause needs the cause and the person; nothing was stored");
        }
        Instant atMicros = at.truncatedTo(ChronoUnit.MICROS);
        return app.inTransaction(handle -> {
            int id = Days.id(handle, day).orElseThrow(() -> Days.unknownDay(day));
            journal.hold(handle);
            handle.createUpdate("""
                            insert into causes.action
                                (day, cause, evidence_digest, run, evidence, lab_numbers, action, reason, actor, at)
                            values
                                (:day, :cause, :digest, :run, :evidence, :labNumbers, :action, :reason, :actor, :at)
                            """)
                    .bind("day", id)
                    .bind("cause", grounds.cause())
                    .bind("digest", grounds.evidenceDigest())
                    .bind("run", grounds.run())
                    .bind("evidence", grounds.evidence())
                    .bind("labNumbers", grounds.labNumbers())
                    .bind("action", action.word())
                    .bind("reason", reason.strip())
                    .bind("actor", actor)
                    .bind("at", atMicros.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle,
                    atMicros,
                    actor,
                    "cause-acted",
                    Days.inJournal(handle, id) + "/" + grounds.cause(),
                    Json.object(
                            "action",
                            action.word(),
                            "reason",
                            reason.strip(),
                            "evidence_digest",
                            grounds.evidenceDigest(),
                            "run",
                            grounds.run(),
                            "evidence",
                            grounds.evidence(),
                            "lab_numbers",
                            Integer.toString(grounds.labNumbers())));
            return new Acted(day, grounds, action, reason.strip(), actor, atMicros);
        });
    }

    public List<Acted> actions(String day) {
        return app.withHandle(handle -> handle.createQuery("""
                        select a.cause, a.evidence_digest, a.run, a.evidence, a.lab_numbers, a.action, a.reason, a.actor, a.at
                        from causes.action a
                        join intake.day d on d.id = a.day
                        where d.name = :day
                        order by a.id
                        """)
                .bind("day", day)
                .map((rs, ctx) -> acted(day, rs))
                .list());
    }

    /** Of each instrument what was done on other days since its gate was shut last. */
    public List<GateAct> gatesElsewhere(String day) {
        return app.withHandle(handle -> handle.createQuery("""
                        with gate as materialized (
                            select a.*, d.name as day_name, coalesce(
                                substring(a.cause from '^instrument@(.*)$'),
                                (select r.instrument from reading.run r
                                 where r.day = a.day
                                   and (r.run = a.run or a.run = '' and starts_with(a.cause, r.run || '.'))
                                 order by length(r.run) desc limit 1)) as instrument
                            from causes.action a
                            join intake.day d on d.id = a.day
                            where a.action in ('shut-gate', 'open-gate')
                              and d.register = (select t.register from intake.day t where t.name = :day))
                        select g.day_name, g.instrument, g.cause, g.evidence_digest, g.run, g.evidence, g.lab_numbers, g.action,
                               g.reason, g.actor, g.at
                        from gate g
                        join (select s.instrument, max(s.id) as id from gate s
                              where s.action = 'shut-gate' group by s.instrument) last on last.instrument = g.instrument
                        where g.id >= last.id and g.day_name <> :day
                        order by g.id
                        """)
                .bind("day", day)
                .map((rs, ctx) -> new GateAct(rs.getString("instrument"), acted(rs.getString("day_name"), rs)))
                .list());
    }

    private static Acted acted(String day, ResultSet rs) throws SQLException {
        return new Acted(
                day,
                new Grounds(
                        rs.getString("cause"),
                        rs.getString("evidence_digest"),
                        rs.getString("run"),
                        rs.getString("evidence"),
                        rs.getInt("lab_numbers")),
                action(rs.getString("action")),
                rs.getString("reason"),
                rs.getString("actor"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    private static Action action(String word) {
        return Arrays.stream(Action.values())
                .filter(action -> action.word().equals(word))
                .findFirst()
                .orElseThrow();
    }
}
