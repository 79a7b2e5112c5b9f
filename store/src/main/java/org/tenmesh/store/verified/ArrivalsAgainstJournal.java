package org.tenmesh.store.verified;

import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.days.StoredReadings;

/**
 * Compares arrivals and the readings they brought with what the journal says of them, run by run; of runs under way too, for which no other
 * entry vouches yet.
 */
final class ArrivalsAgainstJournal {
    private final Handle handle;
    private final Findings found;

    private ArrivalsAgainstJournal(Handle handle, Findings found) {
        this.handle = handle;
        this.found = found;
    }

    static void check(Handle handle, Findings found) throws SQLException {
        ArrivalsAgainstJournal all = new ArrivalsAgainstJournal(handle, found);
        all.bytes();
        all.order();
        all.parts();
        all.runs();
        all.underWay();
    }

    private void bytes() {
        handle
                .createQuery("""
                        select v.seq, v.source as said_source, v.key as said_key, k.source, k.key,
                               v.sha256 is not distinct from k.sha256
                                   and k.sha256 = encode(sha256(k.bytes), 'hex')
                                   and v.aside = coalesce(k.set_aside, '')
                                   and v.actor = k.actor and v.at = date_trunc('milliseconds', k.taken_at)
                                   and coalesce(v.name, k.name) = k.name
                                   and coalesce(v.received_at, k.received_at) = k.received_at
                                   and coalesce(v.register, k.register) = k.register as same
                        from (select e.seq, a ->> 0 as source, a ->> 1 as key, a ->> 2 as sha256, a ->> 4 as aside,
                                     e.actor, e.at, a ->> 5 as name, (a ->> 6)::timestamptz as received_at, a ->> 7 as register
                              from journal.entry e, jsonb_array_elements(e.detail::jsonb -> 'arrivals') a
                              where e.what = 'readings-taken') v
                        full join capture.arrival k on k.source = v.source and k.key = v.key
                        """)
                .setFetchSize(1000)
                .map((rs, context) -> {
                    found.compared(1);
                    if (rs.getString("said_key") == null) {
                        return "arrival " + rs.getString("key") + " of " + rs.getString("source")
                                + " is not in the journal: it was put in outside the program";
                    }
                    String what = "arrival " + rs.getString("said_key") + " of " + rs.getString("said_source");
                    String entry = " (journal entry " + rs.getLong("seq") + ")";
                    return rs.getString("key") == null
                            ? what + " is gone" + entry
                            : rs.getBoolean("same") ? "" : what + " is not as it came" + entry;
                })
                .stream()
                .filter(difference -> !difference.isEmpty())
                .forEach(found::differs);
    }

    /**
     * What adds to one run comes in the order of the journal. Several sources are taken at once, and the one that was begun first may be
     * entered last, so that other arrivals may stand in another order where they were entered within a minute.
     */
    private void order() {
        handle.createQuery("""
                        with k as (
                            select k.id, k.source, k.key, v.seq + v.nth::float8 / 1e6 as seq, v.at
                            from capture.arrival k
                            join (select e.seq, e.at, a.nth, a.arrival ->> 0 as source, a.arrival ->> 1 as key
                                  from journal.entry e,
                                       jsonb_array_elements(e.detail::jsonb -> 'arrivals') with ordinality a (arrival, nth)
                                  where e.what = 'readings-taken') v
                                on v.source = k.source and v.key = k.key
                        )
                        select source, key from (
                            select id, source, key, at, max(at) over (order by id rows between unbounded preceding and 1 preceding) as before
                            from k) o
                        where before > at + interval '1 minute'
                        union
                        select source, key from (
                            select k.source, k.key, k.seq, lag(k.seq) over (partition by p.run order by k.id) as before
                            from k join (select distinct arrival, run from capture.part) p on p.arrival = k.id) r
                        where before > seq
                        """)
                .map((rs, context) -> "arrival " + rs.getString("key") + " of " + rs.getString("source")
                        + " stands in another order than in the journal")
                .forEach(found::differs);
    }

    /** What arrivals brought of each run, by the journal and by the table that is read run by run. */
    private void parts() {
        handle.createQuery("""
                        select coalesce(v.seq, 0) as seq, coalesce(v.source || ', ' || v.key, k.source || ', ' || k.key) as arrival,
                               coalesce(v.name, k.name) as name
                        from (select e.seq, a ->> 0 as source, a ->> 1 as key, p.part ->> 0 as name, p.ord - 1 as ord,
                                     (p.part ->> 1)::int as run, (p.part ->> 2)::int as first_line,
                                     (p.part ->> 3)::int as last_line, p.part ->> 4 as sha256, p.part ->> 5 as day,
                                     (p.part ->> 6)::boolean as ends
                              from journal.entry e, jsonb_array_elements(e.detail::jsonb -> 'arrivals') a,
                                   jsonb_array_elements(a -> 3) with ordinality p (part, ord)
                              where e.what = 'readings-taken') v
                        full join (select p.*, a.source, a.key, d.name as day_name
                                   from capture.part p
                                   join capture.arrival a on a.id = p.arrival
                                   left join intake.day d on d.id = p.day) k
                            on k.source = v.source and k.key = v.key and k.ord = v.ord
                        where (v.name, v.run, v.first_line, v.last_line, v.sha256)
                              is distinct from (k.name, k.run, k.first_line, k.last_line, k.sha256)
                           or v.day <> coalesce(k.day_name, '') or v.ends <> k.ends
                        """)
                .map((rs, context) -> "run " + rs.getString("name") + ": what arrived as " + rs.getString("arrival")
                        + (rs.getLong("seq") == 0
                                ? " is not in the journal: it was put in outside the program"
                                : " is not listed as it was taken (journal entry " + rs.getLong("seq") + ")"))
                .forEach(found::differs);
    }

    /** Readings that one arrival brought. */
    private record Part(String arrival, String name, int first, int last, String sha256) {}

    private void runs() throws SQLException {
        for (int run : handle.createQuery("select distinct run from capture.part order by run")
                .mapTo(Integer.class)
                .list()) {
            run(
                    run,
                    handle.createQuery("""
                                    select a.source || ', ' || a.key as arrival, p.name, p.first_line, p.last_line, p.sha256
                                    from capture.part p
                                    join capture.arrival a on a.id = p.arrival
                                    where p.run = :run
                                    order by p.first_line, p.last_line
                                    """)
                            .bind("run", run)
                            .map((rs, context) -> new Part(
                                    rs.getString("arrival"),
                                    rs.getString("name"),
                                    rs.getInt("first_line"),
                                    rs.getInt("last_line"),
                                    rs.getString("sha256")))
                            .list());
        }
    }

    private void run(int id, List<Part> parts) throws SQLException {
        String name = "run " + parts.get(0).name();
        Optional<Run> head = StoredReadings.head(handle, id);
        if (head.isEmpty()) {
            found.differs(name + ", of which readings arrived, is gone");
            return;
        }
        Readings all;
        try {
            all = StoredReadings.readings(handle, List.of(id))
                    .getOrDefault(id, head.get().readings());
        } catch (IllegalStateException lost) {
            found.differs(name + ": " + lost.getMessage());
            return;
        }
        int next = 1;
        for (Part part : parts) {
            found.compared(1);
            String what = name + ": what arrived as " + part.arrival();
            if (part.first() != next) {
                found.differs(what + " does not follow on reading " + (next - 1));
            }
            next = part.last() + 1;
            boolean there = part.last() <= all.size();
            if (!there
                    || !RunDigest.of(head.get().with(all.part(part.first() - 1, part.last())))
                            .equals(part.sha256())) {
                found.differs(what + (there ? " was changed after it was taken" : " is gone"));
            }
        }
        if (all.size() >= next) {
            found.differs(name + ": " + (all.size() - next + 1)
                    + " readings are not in the journal: they were put in outside the program");
        }
    }

    private void underWay() {
        handle.createQuery("""
                        select u.run from reading.under_way u
                        where not exists (select from capture.part p where p.run = u.id)
                        """)
                .mapTo(String.class)
                .forEach(run ->
                        found.differs("run " + run + " under way has no arrival: it was put in outside the program"));
        // When it began and what came last follow from its arrivals.
        handle.createQuery("""
                        select u.run from reading.under_way u
                        join lateral (
                            select min(a.taken_at) as first_at, max(a.taken_at) as last_at, max(p.last_line) as readings,
                                   (array_agg(p.day order by p.arrival desc, p.ord desc))[1] as day,
                                   (array_agg(a.register order by p.arrival desc))[1] as register
                            from capture.part p join capture.arrival a on a.id = p.arrival where p.run = u.id) k
                            on k.first_at is not null
                        where (u.first_at, u.last_at, u.readings, u.day, u.register)
                              is distinct from (k.first_at, k.last_at, k.readings, k.day, k.register)
                        """)
                .mapTo(String.class)
                .forEach(run -> found.differs("run " + run
                        + " under way is not as its arrivals say: day, register, readings or times were changed"));
        handle.createQuery("""
                        select u.run from reading.under_way u join reading.run r on r.id = u.id
                        """)
                .mapTo(String.class)
                .forEach(run -> found.differs("run " + run + " has ended and is under way still"));
    }
}
