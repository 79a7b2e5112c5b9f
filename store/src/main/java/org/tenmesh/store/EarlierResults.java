package org.tenmesh.store;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.causes.EarlierSoils;

/** The fit results of clients' soils on days before one, as far as they are kept. */
final class EarlierResults {
    /** Days that are looked back on at the most: most of a year of working days (choice). */
    private static final int DAYS = 200;
    /** Soils of the newest days, whoever sent them, from which on only those of the day's own clients are asked for. */
    private static final int ENOUGH = 2000;

    private static final String QUERY = """
            with today as (
                select d.id, coalesce((select min(r.started_at) from reading.run r where r.day = d.id), 'infinity') as began
                from intake.day d where d.name = :day
            ), begun as (
                select r.day, min(r.started_at) as began, (array_agg(r.started_offset order by r.started_at))[1] as began_offset
                from reading.run r join judgement.kept k on k.day = r.day
                group by r.day
            ), newest as (
                select b.* from begun b, today t where b.began < t.began and b.day <> t.id
                order by b.began desc, b.day desc limit :days
            ), counted as (
                select n.*, (select count(*) from intake.soil s where s.day = n.day and s.submission is not null) as soils
                from newest n
            ), ranked as (
                select c.*, coalesce(sum(c.soils) over (order by c.began desc, c.day desc
                       rows between unbounded preceding and 1 preceding), 0) as newer
                from counted c
            )
            select e.day, e.began, e.began_offset, s.lab_number, s.submission, b.client, b.origin_country, b.origin_region,
                   s.client_label, r.method, r.analyte, r.value
            from ranked e
            join intake.soil s on s.day = e.day
            join intake.submission b on b.day = s.day and b.submission = s.submission
            join judgement.result r on r.day = s.day and r.lab_number = s.lab_number
            where r.verdict = 'fit' and r.kind in ('measured', 'below') and r.value is not null
              and (e.newer < :enough
                   or b.client in (select today_b.client from intake.submission today_b, today t where today_b.day = t.id))
            order by e.began, e.day, s.ord, r.ord
            """;

    private record Place(int day, String labNumber) {}

    private record Begun(
            LocalDate day,
            String submission,
            String client,
            Optional<String> region,
            String label,
            Map<String, Map<String, Double>> results) {}

    private EarlierResults() {}

    static EarlierSoils before(Jdbi quality, String day) {
        Map<Place, Begun> soils = new LinkedHashMap<>();
        quality.useTransaction(handle -> handle.createQuery(QUERY)
                .bind("day", day)
                .bind("days", DAYS)
                .bind("enough", ENOUGH)
                .setFetchSize(10_000)
                .map((row, context) -> {
                    take(row, soils);
                    return true;
                })
                .forEach(taken -> {}));
        return new EarlierSoils(soils.values().stream()
                .map(soil -> new EarlierSoils.EarlierSoil(
                        soil.day(), soil.submission(), soil.client(), soil.region(), soil.label(), soil.results()))
                .toList());
    }

    private static void take(ResultSet row, Map<Place, Begun> soils) throws SQLException {
        Place place = new Place(row.getInt("day"), row.getString("lab_number"));
        Begun soil = soils.get(place);
        if (soil == null) {
            String country =
                    Optional.ofNullable(row.getString("origin_country")).orElse("");
            soil = new Begun(
                    Days.at(row.getObject("began", OffsetDateTime.class).toInstant(), row.getInt("began_offset"))
                            .toLocalDate(),
                    row.getString("submission"),
                    row.getString("client"),
                    Optional.ofNullable(row.getString("origin_region")).map(region -> country + " " + region),
                    Optional.ofNullable(row.getString("client_label")).orElse(""),
                    new HashMap<>());
            soils.put(place, soil);
        }
        soil.results()
                .computeIfAbsent(row.getString("method"), method -> new HashMap<>())
                .put(row.getString("analyte"), row.getDouble("value"));
    }
}
