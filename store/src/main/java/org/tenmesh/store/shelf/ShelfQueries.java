package org.tenmesh.store.shelf;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.Keeping;
import org.tenmesh.core.shelf.Pause;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.Stored;

/** What is read of the shelf, inside the handle's transaction. */
final class ShelfQueries {
    /** The newest release of a submission is the one whose date counts, once nothing is held any more. */
    private static final String SELECT = """
            select o.id, o.lab_number, st.box, st.keeping, st.lent_to, st.lent_until, b.place, r.released_on
            from shelf.standing st
            join intake.soil o on o.id = st.soil
            join shelf.box b on b.box = st.box
            left join lateral (
                select case when n.held = 0
                            then (n.signed_at at time zone 'UTC' + make_interval(secs => n.signed_offset))::date end as released_on
                from release.release n where n.submission_id = st.submission order by n.revision desc limit 1) r on true
            """;
    /** Those released long enough ago; a submission is looked up once and not for each of its soils. */
    private static final String RELEASED_BEFORE = """
            with released as (
                select s.submission, r.released_on
                from (select distinct submission from shelf.standing where keeping = 'ordinary' and lent_until is null) s
                join lateral (
                    select n.held, (n.signed_at at time zone 'UTC' + make_interval(secs => n.signed_offset))::date as released_on
                    from release.release n where n.submission_id = s.submission order by n.revision desc limit 1) r on true
                where r.held = 0 and r.released_on <= :latest)
            select o.id, o.lab_number, st.box, st.keeping, st.lent_to, st.lent_until, b.place, r.released_on
            from released r
            join shelf.standing st on st.submission = r.submission and st.keeping = 'ordinary' and st.lent_until is null
            join intake.soil o on o.id = st.soil
            join shelf.box b on b.box = st.box
            """;

    /** Everything on the shelf that is old enough, whatever holds it: what was not released counts from when it was put in a box first. */
    private static final String OLD_ENOUGH = """
            with released as (
                select s.submission, r.held, r.released_on
                from (select distinct submission from shelf.standing) s
                join lateral (
                    select n.held, (n.signed_at at time zone 'UTC' + make_interval(secs => n.signed_offset))::date as released_on
                    from release.release n where n.submission_id = s.submission order by n.revision desc limit 1) r on true)
            select o.id, o.lab_number, st.box, st.keeping, st.lent_to, st.lent_until, b.place,
                   case when r.held = 0 then r.released_on end as released_on
            from shelf.standing st
            left join released r on r.submission = st.submission
            join intake.soil o on o.id = st.soil
            join shelf.box b on b.box = st.box
            where case when r.held = 0 then r.released_on <= :latest
                       else (select min(p.at) from shelf.act p where p.soil = st.soil and p.what = 'soil-put') < :until end
              and not exists (select from shelf.act l where l.soil = st.soil and l.what = 'listed' and l.to_what = :list)
            """;

    private record Row(int soil, Stored stored) {}

    private ShelfQueries() {}

    /** Ids of lab numbers. Where several registers know one, the laboratory's own, else the newest. */
    static Map<LabNumber, Integer> ids(Handle handle, Collection<LabNumber> labNumbers) {
        Map<LabNumber, Integer> ids = new HashMap<>();
        if (!labNumbers.isEmpty()) {
            handle.createQuery("""
                            select distinct on (lab_number) lab_number, id from intake.soil where lab_number = any(:numbers)
                            order by lab_number, (register = 'own') desc, id desc
                            """)
                    .bindArray(
                            "numbers",
                            String.class,
                            labNumbers.stream().map(LabNumber::text).toList())
                    .map((rs, ctx) -> ids.put(new LabNumber(rs.getString(1)), rs.getInt(2)))
                    .list();
        }
        return ids;
    }

    static Map<LabNumber, Keeping> keeping(Handle handle, Map<LabNumber, Integer> ids) {
        Map<Integer, Keeping> byId = new HashMap<>();
        if (!ids.isEmpty()) {
            handle.createQuery("select id, shelf.keeping(id) from intake.soil where id = any(:ids)")
                    .bindArray("ids", Integer.class, ids.values())
                    .map((rs, ctx) -> byId.put(rs.getInt(1), keeping(rs.getString(2))))
                    .list();
        }
        Map<LabNumber, Keeping> known = new HashMap<>();
        ids.forEach((number, id) -> known.put(number, byId.getOrDefault(id, Keeping.UNSETTLED)));
        return known;
    }

    private static Keeping keeping(String word) {
        for (Keeping one : Keeping.values()) {
            if (one.word().equals(word)) {
                return one;
            }
        }
        throw new IllegalStateException("no keeping is called \"" + word + "\"");
    }

    /** Soils by their ids, those that left among them. */
    static Map<LabNumber, Stored> soils(Handle handle, Map<LabNumber, Integer> ids, ZoneId zone) {
        Map<LabNumber, Stored> soils = new LinkedHashMap<>();
        if (ids.isEmpty()) {
            return soils;
        }
        List<Row> rows = new ArrayList<>(handle.createQuery(SELECT + " where st.soil = any(:ids)")
                .bindArray("ids", Integer.class, ids.values())
                .map((rs, ctx) -> row(rs, Stored.State.ON_SHELF))
                .list());
        rows.addAll(handle.createQuery("""
                        select o.id, o.lab_number, p.to_what as box, shelf.keeping(o.id) as keeping, '' as lent_to, null::date as lent_until,
                               b.place, null::date as released_on, g.what
                        from shelf.act g
                        join intake.soil o on o.id = g.soil
                        join lateral (select to_what from shelf.act p where p.soil = g.soil and p.what = 'soil-put'
                                      order by p.seq desc limit 1) p on true
                        join shelf.box b on b.box = p.to_what
                        where g.soil = any(:ids) and g.what in ('discarded', 'handed-over')
                        """)
                .bindArray("ids", Integer.class, ids.values())
                .map((rs, ctx) -> row(
                        rs,
                        rs.getString("what").equals("discarded") ? Stored.State.DISCARDED : Stored.State.HANDED_OVER))
                .list());
        withPauses(handle, rows, zone).forEach(one -> soils.put(one.labNumber(), one));
        return soils;
    }

    static List<Stored> inBoxes(Handle handle, Collection<String> boxes, ZoneId zone) {
        List<Row> rows = handle.createQuery(SELECT + " where st.box = any(:boxes) order by st.box, o.lab_number")
                .bindArray("boxes", String.class, boxes)
                .map((rs, ctx) -> row(rs, Stored.State.ON_SHELF))
                .list();
        return withPauses(handle, rows, zone);
    }

    static List<Stored> lent(Handle handle, ZoneId zone) {
        List<Row> rows = handle.createQuery(
                        SELECT + " where st.lent_until is not null order by st.lent_until, o.lab_number")
                .map((rs, ctx) -> row(rs, Stored.State.ON_SHELF))
                .list();
        return withPauses(handle, rows, zone);
    }

    static List<Stored> releasedBefore(Handle handle, LocalDate latest, ZoneId zone) {
        List<Row> rows = handle.createQuery(RELEASED_BEFORE)
                .bind("latest", latest)
                .map((rs, ctx) -> row(rs, Stored.State.ON_SHELF))
                .list();
        return withPauses(handle, rows, zone);
    }

    static List<Stored> oldEnough(Handle handle, LocalDate latest, String list, ZoneId zone) {
        List<Row> rows = handle.createQuery(OLD_ENOUGH)
                .bind("latest", latest)
                .bind("until", latest.plusDays(1).atStartOfDay(zone).toOffsetDateTime())
                .bind("list", list)
                .map((rs, ctx) -> row(rs, Stored.State.ON_SHELF))
                .list();
        return withPauses(handle, rows, zone);
    }

    private static Row row(ResultSet rs, Stored.State state) throws SQLException {
        @Nullable LocalDate until = rs.getObject("lent_until", LocalDate.class);
        Optional<Stored.Loan> loan =
                until == null ? Optional.empty() : Optional.of(new Stored.Loan(rs.getString("lent_to"), until));
        return new Row(
                rs.getInt("id"),
                new Stored(
                        new LabNumber(rs.getString("lab_number")),
                        keeping(rs.getString("keeping")),
                        loan.isPresent() ? Stored.State.LENT : state,
                        rs.getString("box"),
                        Optional.ofNullable(rs.getString("place")),
                        loan,
                        Optional.ofNullable(rs.getObject("released_on", LocalDate.class)),
                        List.of()));
    }

    private static List<Stored> withPauses(Handle handle, List<Row> rows, ZoneId zone) {
        Map<Integer, List<Pause>> pauses = new HashMap<>();
        if (!rows.isEmpty()) {
            handle.createQuery("""
                            select soil, what, to_what, until_on, at from shelf.act
                            where soil = any(:soils) and what in ('held', 'hold-lifted') order by seq
                            """)
                    .bindArray(
                            "soils", Integer.class, rows.stream().map(Row::soil).toList())
                    .map((rs, ctx) -> {
                        LocalDate date = rs.getObject("at", OffsetDateTime.class)
                                .toInstant()
                                .atZone(zone)
                                .toLocalDate();
                        List<Pause> its = pauses.computeIfAbsent(rs.getInt("soil"), soil -> new ArrayList<>());
                        String kind = rs.getString("to_what");
                        if (rs.getString("what").equals(ShelfAct.What.HELD.word())) {
                            its.add(new Pause(
                                    kind, date, Optional.ofNullable(rs.getObject("until_on", LocalDate.class))));
                        } else {
                            its.replaceAll(pause -> pause.kind().equals(kind) && pause.holds(date)
                                    ? new Pause(kind, pause.from(), Optional.of(date))
                                    : pause);
                        }
                        return its;
                    })
                    .list();
        }
        return rows.stream()
                .map(row -> {
                    Stored soil = row.stored();
                    return new Stored(
                            soil.labNumber(),
                            soil.keeping(),
                            soil.state(),
                            soil.box(),
                            soil.place(),
                            soil.loan(),
                            soil.releasedOn(),
                            pauses.getOrDefault(row.soil(), List.of()));
                })
                .toList();
    }
}
