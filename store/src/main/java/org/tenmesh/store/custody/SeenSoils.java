package org.tenmesh.store.custody;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.custody.Expected;

/**
 * Finds in the laboratory record what must be in the account. Whatever lies in a tray with regulated soil is handled with it and counts, so that a
 * hidden control among them is one more soil like the others.
 */
final class SeenSoils {
    private static final String SOILS = """
            with received as (
                select p.code, c.soil
                from custody.parcel p
                cross join lateral (
                    select u.id from intake.submission u
                    where u.submission = p.submission and p.submission <> '' and abs(u.received_on - p.received_on) <= 14
                    order by abs(u.received_on - p.received_on), u.id limit 1) u
                join intake.came_in c on c.submission = u.id
                where not exists (select from custody.became_ended e where e.parcel = p.code)
                union
                select b.parcel, c.soil from custody.became_now b join intake.came_in c on c.submission = b.submission),
            own as (
                select min(p.code) as parcel, s.lab_number, s.register, min(d.on_date) as on_date
                from received p
                join intake.soil s on s.id = p.soil
                join intake.day d on d.id = s.day
                group by s.lab_number, s.register),
            beside as (
                select o.parcel, m.lab_number, d.register, d.on_date
                from own o
                join layout.place h on h.lab_number = o.lab_number
                join layout.tray t on t.id = h.tray
                join intake.day d on d.id = t.day and d.register = o.register
                join layout.place m on m.tray = t.id and m.purpose = 'soil' and m.lab_number is not null
                left join custody.tray_decided_now n on n.tray = t.id
                where n.decision is distinct from 'ordinary'
                union all
                -- What was decided with soil that is ordinary again is regulated until somebody decides anew.
                select e.parcel, m.lab_number, d.register, d.on_date
                from custody.became_ended e
                join intake.came_in c on c.submission = e.submission
                join intake.soil s on s.id = c.soil
                join layout.place h on h.lab_number = s.lab_number
                join layout.tray t on t.id = h.tray
                join custody.tray_decided_now n on n.tray = t.id and n.decision = 'regulated'
                join intake.day d on d.id = t.day and d.register = s.register
                join layout.place m on m.tray = t.id and m.purpose = 'soil' and m.lab_number is not null
                join intake.soil x on x.register = d.register and x.lab_number = m.lab_number
                join custody.became_soil b on b.soil = x.id),
            mates as (
                select min(b.parcel) as parcel, b.lab_number, b.register, min(b.on_date) as on_date
                from beside b
                where not exists (select from own x where x.lab_number = b.lab_number and x.register = b.register)
                group by b.lab_number, b.register),
            seen as (select * from own union all select * from mates)
            """;

    private SeenSoils() {}

    static List<Seen> seen(Handle handle) {
        Map<String, List<Seen.ReadBy>> runs = new HashMap<>();
        handle.createQuery(SOILS + """
                        select i.identity, r.method, r.run, r.started_at
                        from seen s
                        join reading.identity i on i.identity = s.lab_number
                        join reading.run r on r.id = i.run
                        join intake.day d on d.id = r.day and d.register = s.register
                        order by r.started_at, r.id
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("identity"),
                        new Seen.ReadBy(
                                rs.getString("method"),
                                rs.getString("run"),
                                rs.getObject("started_at", OffsetDateTime.class).toInstant())))
                .forEach(one -> runs.computeIfAbsent(one.getKey(), lab -> new ArrayList<>())
                        .add(one.getValue()));
        Map<String, List<Expected.Spill>> spills = new HashMap<>();
        handle.createQuery(SOILS + """
                        select a.about, a.step, a.device_at
                        from bench.act a
                        join seen s on s.lab_number = a.about
                        where a.what = 'spilt' and not exists (select from bench.act b where b.what = 'taken-back' and b.about = a.id)
                        order by a.seq
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("about"),
                        new Expected.Spill(
                                BenchWork.portion(rs.getString("step")),
                                rs.getObject("device_at", OffsetDateTime.class).toInstant())))
                .forEach(one -> spills.computeIfAbsent(one.getKey(), lab -> new ArrayList<>())
                        .add(one.getValue()));
        return handle.createQuery(SOILS + "select * from seen order by parcel, on_date, lab_number")
                .map((rs, ctx) -> new Seen(
                        rs.getString("parcel"),
                        rs.getString("lab_number"),
                        rs.getObject("on_date", LocalDate.class),
                        runs.getOrDefault(rs.getString("lab_number"), List.of()),
                        spills.getOrDefault(rs.getString("lab_number"), List.of())))
                .list();
    }

    /** The parcels of those of these soils that must be in the account. */
    static Map<String, String> parcels(Handle handle, Collection<String> labNumbers) {
        Map<String, String> parcels = new LinkedHashMap<>();
        handle.createQuery(
                        SOILS + "select lab_number, min(parcel) from seen where lab_number = any(:numbers) group by 1")
                .bindArray("numbers", String.class, labNumbers)
                .map((rs, ctx) -> parcels.put(rs.getString(1), rs.getString(2)))
                .list();
        return parcels;
    }

    /** The numbers of the rows of a parcel's soils, with those that lie in a tray with them. */
    static List<Integer> ofParcel(Handle handle, String parcel) {
        return handle.createQuery(SOILS + """
                        select distinct s.id from seen x join intake.soil s on s.register = x.register and s.lab_number = x.lab_number
                        where x.parcel = :parcel order by 1
                        """)
                .bind("parcel", parcel)
                .mapTo(Integer.class)
                .list();
    }

    /** The lab numbers of a parcel's soils, with those that lie in a tray with them. */
    static Set<String> numbers(Handle handle, String parcel) {
        return handle.createQuery(SOILS + "select distinct lab_number from seen where parcel = :parcel")
                .bind("parcel", parcel)
                .mapTo(String.class)
                .set();
    }

    static List<Seen.Stray> strays(Handle handle) {
        return handle.createQuery(SOILS + """
                        select d.on_date, coalesce(s.submission, '') as submission, count(*) as soils
                        from intake.soil s
                        join intake.day d on d.id = s.day
                        where s.regulated and s.submission is not null
                            and not exists (select from seen x where x.lab_number = s.lab_number and x.register = s.register)
                        group by 1, 2 order by 1 desc, 2
                        """)
                .map((rs, ctx) -> new Seen.Stray(
                        rs.getObject("on_date", LocalDate.class), rs.getString("submission"), rs.getInt("soils")))
                .list();
    }
}
