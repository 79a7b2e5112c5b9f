package org.tenmesh.store.days;

import java.util.List;
import java.util.TreeSet;
import org.jdbi.v3.core.Handle;

/** What is on the list of each day: what an import brought for it, and what its runs read. */
final class DayLists {
    private static final String GIVEN_SOILS = """
            insert into intake.day_soil (day, ord, soil)
            select :day, coalesce((select max(ord) from intake.day_soil where day = :day), -1) + row_number() over (order by g.place),
                   g.soil
            from unnest(:soils) with ordinality as g (soil, place)
            where not exists (select from intake.day_soil l where l.day = :day and l.soil = g.soil)
            """;

    private static final String SOILS_READ = """
            insert into intake.day_soil (day, ord, soil)
            select n.day,
                   coalesce((select max(l.ord) from intake.day_soil l where l.day = n.day), -1)
                       + row_number() over (partition by n.day order by n.soil),
                   n.soil
            from (
                select distinct r.day, s.id as soil
                from reading.run r
                join reading.identity i on i.run = r.id
                join intake.soil s on s.register = :register and s.lab_number = i.identity
                where r.id = any(:runs)) n
            where not exists (select from intake.day_soil l where l.day = n.day and l.soil = n.soil)
            returning day
            """;

    /** Soils that come after the runs that read them. */
    private static final String READ_BEFORE = """
            insert into intake.day_soil (day, ord, soil)
            select n.day,
                   coalesce((select max(l.ord) from intake.day_soil l where l.day = n.day), -1)
                       + row_number() over (partition by n.day order by n.soil),
                   n.soil
            from (
                select distinct r.day, s.id as soil
                from reading.identity i
                join reading.run r on r.id = i.run
                join intake.day d on d.id = r.day and d.register = :register
                join intake.soil s on s.register = :register and s.lab_number = i.identity
                where i.identity = any(:numbers)) n
            where not exists (select from intake.day_soil l where l.day = n.day and l.soil = n.soil)
            returning day
            """;

    private static final String GIVEN_SUBMISSIONS = """
            insert into intake.day_submission (day, ord, submission)
            select :day,
                   coalesce((select max(ord) from intake.day_submission where day = :day), -1) + row_number() over (order by g.place),
                   g.submission
            from unnest(:submissions) with ordinality as g (submission, place)
            where not exists (select from intake.day_submission l where l.day = :day and l.submission = g.submission)
            """;

    private static final String SUBMISSIONS_OF_SOILS = """
            insert into intake.day_submission (day, ord, submission)
            select n.day,
                   coalesce((select max(l.ord) from intake.day_submission l where l.day = n.day), -1)
                       + row_number() over (partition by n.day order by n.submission),
                   n.submission
            from (
                select distinct l.day, c.submission
                from intake.day_soil l
                join intake.came_in c on c.soil = l.soil
                where l.day = any(:days)
                   or l.day in (
                       select b.day from intake.came_in a join intake.day_soil b on b.soil = a.soil
                       where a.submission = any(:submissions))) n
            where not exists (select from intake.day_submission l where l.day = n.day and l.submission = n.submission)
            """;

    private final Handle handle;
    private final String register;

    DayLists(Handle handle, String register) {
        this.handle = handle;
        this.register = register;
    }

    /**
     * @param day what the import lists belongs to it
     * @param runs new ones, which may belong to other days
     * @param freshNumbers lab numbers that were not known before
     */
    void list(int day, List<Integer> soils, List<Integer> submissions, List<Integer> runs, List<String> freshNumbers) {
        handle.createUpdate(GIVEN_SOILS)
                .bind("day", day)
                .bindArray("soils", Integer.class, soils)
                .execute();
        TreeSet<Integer> days = new TreeSet<>(List.of(day));
        days.addAll(handle.createQuery(SOILS_READ)
                .bind("register", register)
                .bindArray("runs", Integer.class, runs)
                .mapTo(Integer.class)
                .list());
        days.addAll(handle.createQuery(READ_BEFORE)
                .bind("register", register)
                .bindArray("numbers", String.class, freshNumbers)
                .mapTo(Integer.class)
                .list());
        handle.createUpdate(GIVEN_SUBMISSIONS)
                .bind("day", day)
                .bindArray("submissions", Integer.class, submissions)
                .execute();
        handle.createUpdate(SUBMISSIONS_OF_SOILS)
                .bindArray("days", Integer.class, List.copyOf(days))
                .bindArray("submissions", Integer.class, submissions)
                .execute();
    }
}
