package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.shelf.ActRows;

/** What was done at the shelf against the journal, and where everything is against what was done. */
final class ShelfAgainstJournal {
    /** Where everything is, from the acts alone: another way than the triggers go. */
    private static final String WHERE_NOW = """
            with newest as (
                select distinct on (soil) soil, to_what as box from shelf.act where what = 'soil-put' order by soil, seq desc),
            loan as (
                select distinct on (soil) soil, what, to_what, until_on from shelf.act where what in ('lent', 'returned')
                order by soil, seq desc),
            stands as (
                select n.soil, n.box, shelf.keeping(n.soil) as keeping,
                       (select c.submission from intake.came_in c where c.soil = shelf.beside(n.soil)) as submission,
                       case when l.what = 'lent' then l.to_what else '' end as lent_to,
                       case when l.what = 'lent' then l.until_on end as lent_until
                from newest n
                left join loan l on l.soil = n.soil
                where not exists (select from shelf.act g where g.soil = n.soil and g.what in ('discarded', 'handed-over'))),
            moved as (select distinct on (about) about, to_what from shelf.act where what = 'box-put' order by about, seq desc)
            select 'soil ' || coalesce((select lab_number from intake.soil where id = coalesce(a.soil, b.soil)), '?')
            from stands a full join shelf.standing b on b.soil = a.soil
            where (a.soil, a.box, a.keeping, a.submission, a.lent_to, a.lent_until)
                  is distinct from (b.soil, b.box, b.keeping, b.submission, b.lent_to, b.lent_until)
            union all
            select 'box ' || coalesce(m.about, b.box)
            from (select m.about, m.regulated, p.to_what from shelf.act m left join moved p on p.about = m.about
                  where m.what = 'box-made') m
            full join shelf.box b on b.box = m.about
            where (m.about, m.regulated, m.to_what) is distinct from (b.box, b.regulated, b.place)
            union all
            select 'place ' || coalesce(m.about, p.place)
            from (select about, regulated from shelf.act where what = 'place-made') m
            full join shelf.place p on p.place = m.about
            where (m.about, m.regulated) is distinct from (p.place, p.regulated)
            union all
            select 'act ' || a.about || ' names another soil than its number'
            from shelf.act a join intake.soil s on s.id = a.soil where s.lab_number <> a.about
            """;

    private ShelfAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Map<Long, String> said = new LinkedHashMap<>();
        handle.createQuery("""
                        select (detail::jsonb ->> 'batch')::bigint, detail::jsonb ->> 'sha256', (detail::jsonb ->> 'acts')::bigint
                        from journal.entry where what = :what order by seq
                        """)
                .bind("what", ActRows.ENTRY)
                .map((rs, ctx) -> {
                    found.compared(rs.getLong(3));
                    return said.put(rs.getLong(1), rs.getString(2));
                })
                .list();
        Map<Long, String> stored = new HashMap<>();
        StringBuilder text = new StringBuilder();
        long[] batch = {0};
        try (var rows = handle
                .createQuery("select * from shelf.act order by batch, seq")
                .setFetchSize(2000)
                .map((rs, ctx) -> new Line(rs.getLong("batch"), ActRows.canonical(ActRows.read(rs))))
                .stream()) {
            rows.forEach(line -> {
                if (line.batch() != batch[0]) {
                    end(stored, batch[0], text);
                    batch[0] = line.batch();
                }
                text.append(line.text()).append('\n');
            });
        }
        end(stored, batch[0], text);
        List<String> gone = new ArrayList<>();
        said.forEach((number, sha256) -> {
            if (!sha256.equals(stored.remove(number))) {
                gone.add("acts at the shelf, number " + number + ": they are in the journal and not stored so");
            }
        });
        found.differ(gone, "acts at the shelf");
        found.differ(
                stored.keySet().stream()
                        .sorted()
                        .map(number -> "acts at the shelf, number " + number
                                + ": they are not in the journal, so they were put in outside the program")
                        .toList(),
                "acts at the shelf");
        found.differ(
                handle.createQuery(WHERE_NOW).mapTo(String.class).list().stream()
                        .map(one -> one + ": what is kept of where it is on the shelf is not what was done there")
                        .toList(),
                "places on the shelf");
    }

    private record Line(long batch, String text) {}

    private static void end(Map<Long, String> stored, long batch, StringBuilder text) {
        if (batch > 0) {
            stored.put(batch, Journal.sha256(text.toString()));
        }
        text.setLength(0);
    }
}
