package org.tenmesh.store.verified;

import java.time.LocalDate;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.days.Days;

/** Checks what the lists of days must hold by what was imported and read, and the submission of every soil. */
final class ListsOfDays {
    private static final String WRONG = """
            select 'lab number ' || s.lab_number || ' is missing on the list of day ' || d.name || ', for which it came'
            from intake.soil s
            join intake.day d on d.id = s.day
            where not exists (select from intake.day_soil l where l.day = s.day and l.soil = s.id)
            union all
            select distinct 'lab number ' || s.lab_number || ' is missing on the list of day ' || d.name || ', on which it was read'
            from reading.run r
            join intake.day d on d.id = r.day
            join reading.identity i on i.run = r.id
            join intake.soil s on s.register = d.register and s.lab_number = i.identity
            where not exists (select from intake.day_soil l where l.day = r.day and l.soil = s.id)
            union all
            select 'submission ' || s.submission || ' is missing on the list of day ' || d.name || ', for which it came'
            from intake.submission s
            join intake.day d on d.id = s.day
            where not exists (select from intake.day_submission l where l.day = s.day and l.submission = s.id)
            union all
            select 'lab number ' || s.lab_number || ' stands under submission ' || coalesce(b.submission, 'none') || ', it came in '
                   || coalesce(s.submission, 'none')
            from intake.came_in c
            join intake.soil s on s.id = c.soil
            left join intake.submission b on b.id = c.submission
            where s.submission is distinct from b.submission or s.register is distinct from b.register
            union all
            select 'lab number ' || s.lab_number || ' stands under no submission, it came in ' || s.submission
            from intake.soil s
            where s.submission is not null
              and exists (select from intake.submission b
                          where b.register = s.register and b.submission = s.submission and b.day = s.day)
              and not exists (select from intake.came_in c where c.soil = s.id)
            union all
            select 'submission ' || s.submission || ' received on ' || s.received_on
                   || case when u.submission is null then ' is missing on the list of open work, with something left to release'
                           else ' is on the list of open work, with nothing left to release' end
            from intake.submission s
            left join release.unreleased u on u.submission = s.id
            left join lateral (
                select n.held from release.release n where n.submission_id = s.id order by n.revision desc limit 1) r on true
            where (r.held is null or r.held > 0) <> (u.submission is not null)
            union all
            select 'submission ' || s.submission || ' was received on ' || ((s.received_at at time zone 'UTC')
                   + make_interval(secs => s.received_offset))::date || ' by its time, its date says ' || s.received_on
            from intake.submission s
            where s.received_on <> ((s.received_at at time zone 'UTC') + make_interval(secs => s.received_offset))::date
            union all
            select 'the shortage of soil ' || h.lab_number || ', ' || h.method || ' stands in the register ' || h.register
                   || ', its day in ' || d.register
            from intake.shortage h join intake.day d on d.id = h.day where h.register <> d.register
            union all
            select 'the register ' || k.register || ' is not on the list of registers'
            from (select register from intake.day union select register from intake.soil union select register from intake.submission
                  union select 'own') k
            where not exists (select from intake.register r where r.register = k.register)
            union all
            select 'the register ' || r.register || ' is that of no day: it was put in outside the program'
            from intake.register r
            where r.register <> 'own' and not exists (select from intake.day d where d.register = r.register)
            union all
            select 'the list of open work names a submission that is not there'
            from release.unreleased u
            where not exists (select from intake.submission s where s.id = u.submission)
            """;

    private ListsOfDays() {}

    static void check(Handle handle, Findings found) {
        handle.createQuery(WRONG).mapTo(String.class).forEach(found::differs);
        handle
                .createQuery("""
                        select name, register, on_date,
                               exists (select from intake.source s where s.day = d.id)
                               or exists (select from reading.run r where r.day = d.id)
                               or exists (select from capture.part p where p.day = d.id) as used
                        from intake.day d
                        """)
                .map((rs, ctx) -> {
                    String name = rs.getString("name");
                    String right = Days.name(rs.getString("register"), rs.getObject("on_date", LocalDate.class));
                    if (!name.equals(right)) {
                        return "day " + name + " is the day " + right
                                + " by its register and date: it was renamed outside the program";
                    }
                    return rs.getBoolean("used")
                            ? ""
                            : "day " + name + " has no import and no run: it was put in outside the program";
                })
                .stream()
                .filter(difference -> !difference.isEmpty())
                .forEach(found::differs);
    }

    /**
     * Rows that version 0.1 listed for a day: the first of its list. One that came with another day's import as well is kept once and
     * stands on both lists.
     *
     * @param kind soil or submission
     * @param taken how many version 0.1 took
     */
    static int listed(Handle handle, int day, String kind, int taken) {
        return handle.createQuery("""
                        select (select count(*) from intake.day_%1$s l join intake.%1$s t on t.id = l.%1$s
                                where l.day = :day and l.ord < :taken)
                             + (select count(*) from intake.%1$s t where t.day = :day and not exists (
                                select from intake.day_%1$s l where l.day = :day and l.%1$s = t.id and l.ord < :taken))
                        """.formatted(kind))
                .bind("day", day)
                .bind("taken", taken)
                .mapTo(Integer.class)
                .one();
    }
}
