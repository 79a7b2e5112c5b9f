package org.tenmesh.store.judged;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.Query;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.store.days.Days;

/** The fit results of clients' soils on days before one, as far as they are kept. */
final class EarlierResults {
    /** Days that are looked back on at the most: most of a year of working days (choice). */
    private static final int DAYS = 200;
    /** Soils of the newest days, whoever sent them, from which on only those of the day's own clients are asked for. */
    private static final int ENOUGH = 2000;

    /** Days with a kept judgement that began before the day's own first run, newest first, and how many soils are newer than each. */
    private static final String EARLIER = """
            with today as (
                select d.id, coalesce((select min(r.started_at) from reading.run r where r.day = d.id), 'infinity') as began
                from intake.day d where d.id = :day
            ), begun as (
                select r.day, min(r.started_at) as began, (array_agg(r.started_offset order by r.started_at))[1] as began_offset
                from reading.run r join judgement.kept k on k.day = r.day
                group by r.day
            ), newest as (
                select b.* from begun b, today t where b.began < t.began and b.day <> t.id
                order by b.began desc, b.day desc limit :days
            ), counted as (
                select n.*, (select count(*) from intake.day_soil l join intake.soil s on s.id = l.soil
                             where l.day = n.day and s.submission is not null) as soils
                from newest n
            )
            select c.day, c.began, c.began_offset,
                   coalesce(sum(c.soils) over (order by c.began desc, c.day desc
                       rows between unbounded preceding and 1 preceding), 0) as newer
            from counted c order by c.began desc, c.day desc
            """;

    /** Without the soils that are read again on the day itself: they say nothing new of themselves. */
    private static final String SOILS = """
            select s.lab_number, s.submission, s.client_label, b.client, b.origin_country, b.origin_region
            from intake.day_soil l
            join intake.soil s on s.id = l.soil
            join intake.came_in c on c.soil = s.id
            join intake.submission b on b.id = c.submission
            where l.day = :earlier and (:everybody or b.client = any(:clients))
              and not exists (select from intake.day_soil t where t.day = :today and t.soil = s.id)
            order by l.ord
            """;

    /** One day at a time, so that no plan can take the days together for few and look each soil up in all of them. */
    private static final String RESULTS = """
            select lab_number, method, analyte, value from judgement.result
            where day = :earlier and verdict = 'fit' and kind in ('measured', 'below') and value is not null
            """;

    private static final String OF_SOME = " and lab_number = any(:labs)";
    private static final String IN_ORDER = " order by ord";

    private record Earlier(int id, LocalDate began, boolean everybody) {}

    private record Begun(
            LocalDate day,
            String submission,
            String client,
            Optional<String> region,
            String label,
            Map<String, Map<String, Double>> results) {}

    private EarlierResults() {}

    static EarlierSoils before(Jdbi quality, String name) {
        return quality.inTransaction(handle -> {
            Optional<Integer> today = Days.id(handle, name);
            if (today.isEmpty()) {
                return EarlierSoils.NONE;
            }
            int day = today.get();
            List<Earlier> days = handle.createQuery(EARLIER)
                    .bind("day", day)
                    .bind("days", DAYS)
                    .map((row, context) -> new Earlier(
                            row.getInt("day"),
                            Days.at(
                                            row.getObject("began", OffsetDateTime.class)
                                                    .toInstant(),
                                            row.getInt("began_offset"))
                                    .toLocalDate(),
                            row.getLong("newer") < ENOUGH))
                    .list();
            String[] clients = handle.createQuery("""
                            select distinct b.client
                            from intake.day_submission l join intake.submission b on b.id = l.submission
                            where l.day = :day
                            """)
                    .bind("day", day)
                    .mapTo(String.class)
                    .list()
                    .toArray(new String[0]);
            List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
            days.forEach(earlier -> soils.addAll(of(handle, earlier, day, clients)));
            return new EarlierSoils(soils);
        });
    }

    private static List<EarlierSoils.EarlierSoil> of(Handle handle, Earlier earlier, int today, String[] clients) {
        Map<String, Begun> soils = new LinkedHashMap<>();
        handle.createQuery(SOILS)
                .bind("earlier", earlier.id())
                .bind("today", today)
                .bind("everybody", earlier.everybody())
                .bind("clients", clients)
                .map((row, context) -> soils.put(row.getString("lab_number"), begun(row, earlier.began())))
                .list();
        if (soils.isEmpty()) {
            return List.of();
        }
        Query results = earlier.everybody()
                ? handle.createQuery(RESULTS + IN_ORDER)
                : handle.createQuery(RESULTS + OF_SOME + IN_ORDER)
                        .bind("labs", soils.keySet().toArray(new String[0]));
        results.bind("earlier", earlier.id())
                .map((row, context) -> take(row, soils))
                .list();
        return soils.values().stream()
                .filter(soil -> !soil.results().isEmpty())
                .map(soil -> new EarlierSoils.EarlierSoil(
                        soil.day(), soil.submission(), soil.client(), soil.region(), soil.label(), soil.results()))
                .toList();
    }

    private static boolean take(ResultSet row, Map<String, Begun> soils) throws SQLException {
        Begun soil = soils.get(row.getString("lab_number"));
        if (soil == null) {
            return false;
        }
        soil.results()
                .computeIfAbsent(row.getString("method"), method -> new HashMap<>())
                .put(row.getString("analyte"), row.getDouble("value"));
        return true;
    }

    private static Begun begun(ResultSet row, LocalDate began) throws SQLException {
        String country = Optional.ofNullable(row.getString("origin_country")).orElse("");
        return new Begun(
                began,
                row.getString("submission"),
                row.getString("client"),
                Optional.ofNullable(row.getString("origin_region")).map(region -> country + " " + region),
                Optional.ofNullable(row.getString("client_label")).orElse(""),
                new HashMap<>());
    }
}
