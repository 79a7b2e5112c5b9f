package org.tenmesh.store.judged;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.causes.OwnRecord.Became;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;

/**
 * How often things went wrong before each day, as far as it was confirmed: added up when the day is first judged, and the same for that day
 * ever after. The journal has it too.
 */
public final class FixedRecords {
    private static final String PROGRAM = "Tenmesh";
    /** Days that are looked back on (choice): about half a year of working days, some 100,000 trays' worth of questions. */
    private static final int DAYS = 100;

    private static final String BEFORE = """
            select d.id, d.on_date,
                   (select count(*) from reading.run r where r.day = d.id) as runs,
                   (select count(*) from (select distinct r.lab_number, r.method from judgement.result r
                                          where r.day = d.id and r.verdict = 'fit' and r.kind in ('measured', 'below')
                                            and r.value is not null) t
                    join intake.soil s on s.lab_number = t.lab_number
                    join intake.day_soil l on l.soil = s.id and l.day = d.id
                    where s.submission is not null) as soils
            from intake.day d join judgement.kept k on k.day = d.id
            where d.on_date < (select on_date from intake.day where id = :day)
            order by d.on_date desc, d.id desc limit :days
            """;

    /** Causes that touch results, with what was read again of them: nothing else could be answered. */
    private static final String CAUSES = """
            select c.kind, a.said
            from judgement.cause c
            left join lateral (select said from causes.answer a where a.day = c.day and a.cause = c.cause order by a.id desc limit 1) a on true
            where c.day = :day
              and exists (select from judgement.stretch s
                          where s.day = c.day and s.cause = c.ord and cardinality(s.touched_lab_numbers) > 0)
            """;

    private static final String FIXED = """
            select (says::jsonb ->> 'days')::int as days, nullif(says::jsonb ->> 'last', '')::date as last, (says::jsonb ->> 'soils')::int as soils,
                   (says::jsonb ->> 'runs')::int as runs
            from causes.own_record where day = :day
            """;
    private static final String KINDS =
            "select k.key, k.value from causes.own_record o, jsonb_each_text(o.says::jsonb -> 'kinds') k where o.day = :day";

    private record Day(int id, LocalDate on, int runs, int soils) {}

    private final Jdbi app;
    private final Journal journal;

    public FixedRecords(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /** What is fixed for a day; it is fixed now where its judgement was never kept. A day that is not known has nothing. */
    public OwnRecord of(String day, Instant at) {
        return app.inTransaction(handle -> {
            Optional<Integer> known = Days.id(handle, day);
            if (known.isEmpty()) {
                return OwnRecord.NONE;
            }
            int id = known.get();
            handle.createQuery("select pg_advisory_xact_lock(hashtext('causes.own_record'), :day)")
                    .bind("day", id)
                    .mapToMap()
                    .list();
            Optional<OwnRecord> fixed = fixed(handle, id);
            return fixed.orElseGet(() -> {
                if (isKept(handle, id)) {
                    return OwnRecord.NONE;
                }
                fix(handle, id, at.truncatedTo(ChronoUnit.MICROS));
                return fixed(handle, id).orElse(OwnRecord.NONE);
            });
        });
    }

    private static boolean isKept(Handle handle, int day) {
        return handle.createQuery("select exists (select from judgement.kept where day = :day)")
                .bind("day", day)
                .mapTo(Boolean.class)
                .one();
    }

    private static Optional<OwnRecord> fixed(Handle handle, int day) {
        Map<CauseKind, Became> kinds = new EnumMap<>(CauseKind.class);
        handle.createQuery(KINDS)
                .bind("day", day)
                .map((row, context) -> {
                    String[] counts = row.getString("value").split("/", -1);
                    Became became = new Became(
                            Integer.parseInt(counts[0]), Integer.parseInt(counts[1]), Integer.parseInt(counts[2]));
                    return CauseKind.of(row.getString("key")).map(kind -> kinds.put(kind, became));
                })
                .list();
        return handle.createQuery(FIXED)
                .bind("day", day)
                .map((row, context) -> row.getInt("days") == 0
                        ? OwnRecord.NONE
                        : new OwnRecord(List.of(new OwnRecord.OfDay(
                                row.getObject("last", LocalDate.class),
                                row.getInt("soils"),
                                row.getInt("runs"),
                                kinds,
                                row.getInt("days")))))
                .findOne();
    }

    private void fix(Handle handle, int day, Instant at) {
        List<Day> before = handle.createQuery(BEFORE)
                .bind("day", day)
                .bind("days", DAYS)
                .map((row, context) -> new Day(
                        row.getInt("id"),
                        row.getObject("on_date", LocalDate.class),
                        row.getInt("runs"),
                        row.getInt("soils")))
                .list();
        Map<String, Became> became = new TreeMap<>();
        for (Day one : before) {
            handle.createQuery(CAUSES)
                    .bind("day", one.id())
                    .map((row, context) -> became.merge(
                            row.getString("kind"),
                            became(Optional.ofNullable(row.getString("said")).orElse("")),
                            Became::and))
                    .list();
        }
        Map<String, String> kinds = new TreeMap<>();
        became.forEach((kind, counts) ->
                kinds.put(kind, counts.confirmed() + "/" + counts.refuted() + "/" + counts.unanswered()));
        String says = Json.object(
                "days",
                before.size(),
                "last",
                before.stream().findFirst().map(one -> one.on().toString()).orElse(""),
                "soils",
                before.stream().mapToInt(Day::soils).sum(),
                "runs",
                before.stream().mapToInt(Day::runs).sum(),
                "kinds",
                kinds);
        handle.createUpdate("insert into causes.own_record (day, says, at) values (:day, :says, :at)")
                .bind("day", day)
                .bind("says", says)
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .execute();
        journal.write(handle, at, PROGRAM, "own-record-fixed", Days.inJournal(handle, day), says);
    }

    private static Became became(String said) {
        return switch (said) {
            case "confirmed" -> new Became(1, 0, 0);
            case "refuted" -> new Became(0, 1, 0);
            default -> new Became(0, 0, 1);
        };
    }
}
