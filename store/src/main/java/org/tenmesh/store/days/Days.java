package org.tenmesh.store.days;

import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.postgresql.util.PSQLException;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.store.rows.Refused;

/** The list of laboratory days and their names. */
public final class Days {
    private Days() {}

    /** The name of a day, which is its address: the date, and the register where it is not the laboratory's own. */
    public static String name(String register, LocalDate date) {
        return register.equals(Laboratory.OWN_REGISTER) ? date.toString() : date + " " + register;
    }

    /** The id of the day on this date, which is made when it is new. */
    static int idOn(Handle handle, String register, LocalDate date) {
        Optional<Integer> known = onDate(handle, register, date);
        if (known.isPresent()) {
            return known.get();
        }
        handle.createUpdate("insert into intake.register (register) values (:register) on conflict do nothing")
                .bind("register", register)
                .execute();
        handle.createUpdate("""
                        insert into intake.day (name, register, on_date) values (:name, :register, :date)
                        on conflict (register, on_date) do nothing
                        """)
                .bind("name", name(register, date))
                .bind("register", register)
                .bind("date", date)
                .execute();
        return onDate(handle, register, date).orElseThrow();
    }

    private static Optional<Integer> onDate(Handle handle, String register, LocalDate date) {
        return handle.createQuery("select id from intake.day where register = :register and on_date = :date")
                .bind("register", register)
                .bind("date", date)
                .mapTo(Integer.class)
                .findOne();
    }

    /** What something of an earlier day is called where its name is used again. */
    static String dated(String name, LocalDate date) {
        return name + " (" + date + ")";
    }

    /** What the journal calls a run that an import brought for another day than its own. */
    public static String runOf(LocalDate date, String run) {
        return run + " of " + date;
    }

    /** The day with this name, or that had it in version 0.1. */
    public static Optional<Integer> id(Handle handle, String name) {
        return handle.createQuery("""
                        select id from intake.day where name = :name or former_name = :name
                        order by (name = :name) desc limit 1
                        """).bind("name", name).mapTo(Integer.class).findOne();
    }

    /** What the journal calls a day: a day of version 0.1 keeps its name there. */
    public static String inJournal(Handle handle, int day) {
        return handle.createQuery("select coalesce(former_name, name) from intake.day where id = :day")
                .bind("day", day)
                .mapTo(String.class)
                .one();
    }

    public static Refused unknownDay(String name) {
        return new Refused("there is no day \"" + name + "\"; nothing was stored");
    }

    /** Whether the database refused because of this constraint. */
    public static boolean broke(UnableToExecuteStatementException e, String constraint) {
        return e.getCause() instanceof PSQLException cause
                && cause.getServerErrorMessage() != null
                && constraint.equals(cause.getServerErrorMessage().getConstraint());
    }

    /**
     * The submissions of a day's view by the names they have there: of several with one name the one received last keeps it, the
     * others carry the date they were received on.
     */
    public static Map<String, Integer> submissionNames(Handle handle, int day) {
        record Listed(int id, String name, LocalDate receivedOn) {}
        List<Listed> all = handle.createQuery("""
                        select s.id, s.submission, s.received_on
                        from intake.submission_in_view l
                        join intake.submission s on s.id = l.submission
                        where l.day = :day
                        order by s.received_on desc
                        """)
                .bind("day", day)
                .map((row, context) -> new Listed(
                        row.getInt("id"), row.getString("submission"), row.getObject("received_on", LocalDate.class)))
                .list();
        Map<String, Integer> names = new LinkedHashMap<>();
        Set<String> taken = new HashSet<>();
        all.forEach(
                one -> names.put(taken.add(one.name()) ? one.name() : dated(one.name(), one.receivedOn()), one.id()));
        return names;
    }

    public static Optional<Receipt> receipt(Handle handle, String sourceSha256) {
        return handle.createQuery("""
                        select d.name, s.sha256, s.soils, s.readings, s.actor, s.taken_at,
                               array(select r.run from reading.run r where r.source = s.id order by r.id) as runs
                        from intake.source s
                        join intake.day d on d.id = s.day
                        where s.sha256 = :sha256
                        """)
                .bind("sha256", sourceSha256)
                .map((rs, ctx) -> new Receipt(
                        rs.getString("name"),
                        rs.getString("sha256"),
                        rs.getInt("soils"),
                        List.of((String[]) rs.getArray("runs").getArray()),
                        rs.getLong("readings"),
                        rs.getString("actor"),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant()))
                .findOne();
    }

    /** Number of the journal entry of the newest import or change of a submission or of how its soil is handled; 0 before the first. */
    public static long newestImport(Handle handle) {
        return handle.createQuery("""
                        select coalesce(greatest(
                            (select max(seq) from journal.entry where what = 'day-taken'),
                            (select max(seq) from journal.entry where what = 'submission-changed'),
                            (select max(seq) from journal.entry where what = 'custody-became-regulated'),
                            (select max(seq) from journal.entry where what = 'custody-ordinary-again'),
                            (select max(seq) from journal.entry where what = 'custody-tray-decided')), 0)
                        """).mapTo(Long.class).one();
    }

    /** Number of the journal entry of the newest readings of runs under way; 0 before the first. */
    public static long newestReadings(Handle handle) {
        return handle.createQuery("select coalesce(max(seq), 0) from journal.entry where what = 'readings-taken'")
                .mapTo(Long.class)
                .one();
    }

    /** The newest days, the newest first. */
    public static List<DayEntry> newest(Handle handle, int most) {
        return entries(
                handle,
                "order by d.on_date desc, (d.register = 'own') desc, d.id desc limit :most",
                Map.of("most", most));
    }

    /** The days that follow this one on the list, the newest first; none when there is no such day. */
    public static List<DayEntry> before(Handle handle, String name, int most) {
        record Place(LocalDate date, boolean own, int id) {}
        return id(handle, name)
                .map(id -> handle.createQuery("select on_date, register = 'own' as own from intake.day where id = :id")
                        .bind("id", id)
                        .map((row, context) ->
                                new Place(row.getObject("on_date", LocalDate.class), row.getBoolean("own"), id))
                        .one())
                .map(place -> entries(
                        handle, """
                        where d.on_date <= :date and (d.on_date, d.register = 'own', d.id) < (:date, :own, :id)
                        order by d.on_date desc, (d.register = 'own') desc, d.id desc limit :most
                        """, Map.of("date", place.date(), "own", place.own(), "id", place.id(), "most", most)))
                .orElse(List.of());
    }

    /** The list's line for one day, by its name or by the name it had in version 0.1. */
    public static Optional<DayEntry> entry(Handle handle, String name) {
        return id(handle, name)
                .flatMap(id -> entries(handle, "where d.id = :id", Map.of("id", id)).stream()
                        .findFirst());
    }

    private static List<DayEntry> entries(Handle handle, String which, Map<String, ?> parameters) {
        return handle.createQuery("""
                        with wanted as (
                            select d.* from intake.day d
                            """ + which + """
                        ), came as (
                            select s.day, s.id as source from intake.source s join wanted w on w.id = s.day
                            union
                            select r.day, r.source from reading.run r join wanted w on w.id = r.day
                        )
                        select d.name, d.register, d.on_date,
                               coalesce(
                                   (array_agg(s.laboratory order by s.id desc))[1],
                                   (select n.laboratory from intake.source n join intake.day o on o.id = n.day
                                    where o.register = d.register order by o.on_date desc, n.id desc limit 1),
                                   '') as laboratory,
                               coalesce((select max(l.ord) + 1 from intake.day_soil l where l.day = d.id), 0) as soils,
                               (select count(*) from reading.run r where r.day = d.id)
                                   + (select count(*) from reading.under_way u where u.day = d.id) as runs,
                               coalesce(min(s.taken_at), (select min(u.first_at) from reading.under_way u where u.day = d.id))
                                   as taken_at,
                               encode(sha256(coalesce(string_agg(s.sha256, '' order by s.id), '')::bytea), 'hex')
                                   || coalesce((select string_agg(' ' || u.id || ':' || u.readings, '' order by u.id)
                                                from reading.under_way u where u.day = d.id), '')
                                   || coalesce((select string_agg(' ' || v.submission || '.' || v.version, '' order by v.submission, v.version)
                                                from intake.day_submission l join intake.submission_version v on v.submission = l.submission
                                                where l.day = d.id), '') as digest
                        from wanted d
                        left join came c on c.day = d.id
                        left join intake.source s on s.id = c.source
                        where s.id is not null or exists (select from reading.under_way u where u.day = d.id)
                        group by d.id, d.name, d.register, d.on_date
                        order by d.on_date desc, (d.register = 'own') desc, d.id desc
                        """)
                .bindMap(parameters)
                .map((rs, ctx) -> new DayEntry(
                        rs.getString("name"),
                        rs.getObject("on_date", LocalDate.class),
                        rs.getString("register"),
                        rs.getString("laboratory"),
                        rs.getInt("soils"),
                        rs.getInt("runs"),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant(),
                        rs.getString("digest")))
                .list();
    }

    public static Unit unit(String ucum) {
        return Unit.ofUcum(ucum)
                .orElseThrow(() -> new IllegalStateException(
                        "the database holds the unit " + ucum + ", which this version does not know"));
    }

    public static OffsetDateTime at(Instant instant, int offsetSeconds) {
        return instant.atOffset(ZoneOffset.ofTotalSeconds(offsetSeconds));
    }
}
