package org.tenmesh.store.live;

import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.RunDate;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.days.StoredReadings;
import org.tenmesh.store.rows.OneTrip;
import org.tenmesh.store.rows.Refused;

/** The runs under way that one transaction adds to; each is held until the transaction ends. */
final class RunsUnderWay {
    private final Handle handle;
    private final String register;
    private final Instant at;
    private final Map<String, Held> held = new HashMap<>();
    private final List<StoredReadings.Following> following = new ArrayList<>();
    private final List<Part> parts = new ArrayList<>();
    private ZoneId zone = RunDate.UNNAMED_ZONE;

    RunsUnderWay(Handle handle, String register, Instant at) {
        this.handle = handle;
        this.register = register;
        this.at = at;
    }

    /** A run under way, whose row this transaction has locked. */
    private static final class Held {
        private final int id;
        private final Run head;
        private final Set<String> identities = new HashSet<>();
        private int day;
        private String dayName = "";
        private LocalDate date = LocalDate.MIN;
        private int readings;
        private boolean ends;
        private boolean changed;

        Held(int id, Run head, int day, int readings) {
            this.id = id;
            this.head = head;
            this.day = day;
            this.readings = readings;
        }

        void isOn(String name, LocalDate on) {
            dayName = name;
            date = on;
        }
    }

    /** What is not yet sent to the database of what one arrival brought of a run. */
    private record Part(
            long arrival,
            int ord,
            Held run,
            int day,
            int first,
            int last,
            boolean ends,
            String sha256,
            List<String> fresh) {}

    /**
     * Lines that were added to a run.
     *
     * @param run its id
     * @param day name of the laboratory day that it belongs to
     * @param sha256 digest of the head and the lines
     */
    record Added(int run, String day, int first, int last, String sha256) {}

    /** A run with everything that was read of it. */
    record Whole(int id, Run run) {}

    /**
     * Locks the runs that are under way, always in one order, so that two transactions do not wait for each other.
     *
     * @param trip with which that is asked
     */
    void hold(OneTrip trip, List<Run> runs) {
        trip.ask(row -> zone = ZoneId.of(row.getString(1)), RunDate.ZONE, register);
        lock(trip, runs.stream().map(Run::run).distinct().toList());
    }

    private void lock(OneTrip trip, List<String> runs) {
        if (runs.isEmpty()) {
            return;
        }
        trip.ask(
                row -> held.put(
                        row.getString("run"),
                        new Held(
                                row.getInt("id"),
                                StoredReadings.headUnderWay(row),
                                row.getInt("day"),
                                row.getInt("readings"))),
                """
                select id, day, readings, run, method, instrument, operator, started_at, started_offset
                from reading.under_way
                where register = ? and run = any(?)
                order by run
                for update
                """,
                register,
                OneTrip.texts(runs));
        // A statement of its own: it sees what whoever held the lock before has written.
        trip.ask(
                row -> {
                    Held its = held.get(row.getString("run"));
                    if (its != null) {
                        its.isOn(row.getString("name"), row.getObject("on_date", LocalDate.class));
                        its.identities.addAll(
                                List.of((String[]) row.getArray("identities").getArray()));
                    }
                },
                """
                select u.run, d.name, d.on_date,
                       array(select i.identity from reading.identity i where i.run = u.id) as identities
                from reading.under_way u
                join intake.day d on d.id = u.day
                where u.register = ? and u.run = any(?)
                """,
                register,
                OneTrip.texts(runs));
    }

    private void lock(String run) throws SQLException {
        OneTrip trip = new OneTrip();
        lock(trip, List.of(run));
        trip.send(handle);
    }

    /** Adds what is new of a run, which is under way from its first part on; {@link #write} writes it. */
    Added add(long arrival, int ord, RunPart part) throws SQLException {
        Run run = part.run();
        Held its = held.get(run.run());
        if (its == null) {
            its = begin(run);
        }
        if (its.ends) {
            throw new Refused("run " + run.run() + " ended with an arrival before this one; nothing was stored");
        }
        if (!sameHead(its.head, run)) {
            throw new Refused("run " + run.run() + " is under way as " + told(its.head) + ", now it comes as "
                    + told(run) + "; nothing was stored: a run keeps its head, another run needs another name");
        }
        int first = its.readings + 1;
        // What soils a run has read decides on its day, and finds the run by them.
        List<String> fresh = StoredReadings.identities(run).stream()
                .filter(its.identities::add)
                .toList();
        following.add(new StoredReadings.Following(its.id, its.readings, run.readings()));
        its.readings += run.readings().size();
        its.ends = part.last();
        its.changed = true;
        if (!fresh.isEmpty()) {
            turnTo(its, RunDate.of(handle, register, zone, its.head, its.identities, at));
        }
        String sha256 = RunDigest.of(its.head.with(run.readings()));
        parts.add(new Part(arrival, ord, its, its.day, first, its.readings, part.last(), sha256, fresh));
        return new Added(its.id, its.dayName, first, its.readings, sha256);
    }

    private void turnTo(Held run, LocalDate date) {
        if (!run.date.equals(date)) {
            run.day = RunDate.dayOn(handle, register, date);
            run.isOn(Days.name(register, date), date);
        }
    }

    /**
     * Writes everything that was added.
     *
     * @param trip with which it goes, except many readings, which go at once
     */
    void write(OneTrip trip) throws SQLException {
        StoredReadings.append(handle, trip, following);
        List<Integer> fresh = new ArrayList<>();
        parts.forEach(part -> part.fresh().forEach(identity -> fresh.add(part.run().id)));
        if (!fresh.isEmpty()) {
            trip.add(
                    "insert into reading.identity (run, identity) select * from unnest(?::int[], ?::text[])",
                    OneTrip.integers(fresh),
                    OneTrip.texts(parts.stream()
                            .flatMap(part -> part.fresh().stream())
                            .toList()));
        }
        List<Held> changed = held.values().stream().filter(run -> run.changed).toList();
        if (!changed.isEmpty()) {
            trip.add(
                    """
                    update reading.under_way u set day = n.day, readings = n.readings, last_at = ?
                    from unnest(?::int[], ?::int[], ?::int[]) n (id, day, readings)
                    where u.id = n.id
                    """,
                    at.atOffset(ZoneOffset.UTC),
                    OneTrip.integers(changed.stream().map(run -> run.id).toList()),
                    OneTrip.integers(changed.stream().map(run -> run.day).toList()),
                    OneTrip.integers(changed.stream().map(run -> run.readings).toList()));
            trip.add(
                    """
                    insert into capture.part (arrival, ord, run, name, day, first_line, last_line, ends, sha256)
                    select * from unnest(?::bigint[], ?::int[], ?::int[], ?::text[], ?::int[], ?::int[], ?::int[], ?::bool[],
                                         ?::text[])
                    """,
                    OneTrip.longs(parts.stream().map(Part::arrival).toList()),
                    OneTrip.integers(parts.stream().map(Part::ord).toList()),
                    OneTrip.integers(parts.stream().map(part -> part.run().id).toList()),
                    OneTrip.texts(
                            parts.stream().map(part -> part.run().head.run()).toList()),
                    OneTrip.integers(parts.stream().map(Part::day).toList()),
                    OneTrip.integers(parts.stream().map(Part::first).toList()),
                    OneTrip.integers(parts.stream().map(Part::last).toList()),
                    OneTrip.bools(parts.stream().map(Part::ends).toList()),
                    OneTrip.texts(parts.stream().map(Part::sha256).toList()));
        }
        following.clear();
        parts.clear();
        changed.forEach(run -> run.changed = false);
    }

    private Held begin(Run run) throws SQLException {
        LocalDate date = RunDate.of(handle, register, zone, run, List.of(), at);
        for (int tries = 0; tries < 2; tries++) {
            List<String> ended = new ArrayList<>();
            OneTrip trip = new OneTrip();
            askWhetherEnded(trip, run, ended);
            beginOn(trip, run, date);
            trip.send(handle);
            if (!ended.isEmpty()) {
                throw new Refused(
                        "run " + run.run() + " of day " + ended.get(0)
                                + " has ended; readings are never added to it, so nothing was stored: give the new readings a run of their own");
            }
            Held begun = held.get(run.run());
            if (begun != null) {
                return begun;
            }
            // Its day is new, or another transaction began the run meanwhile.
            RunDate.dayOn(handle, register, date);
            lock(run.run());
            Held others = held.get(run.run());
            if (others != null) {
                return others;
            }
        }
        throw new Refused("run " + run.run() + " ended while this part of it came; nothing was stored");
    }

    private void askWhetherEnded(OneTrip trip, Run run, List<String> days) {
        trip.ask(row -> days.add(row.getString(1)), """
                select d.name
                from reading.run r
                join intake.day d on d.id = r.day
                where d.register = ? and r.run = ? and r.started_at = ?
                limit 1
                """, register, run.run(), startedAt(run));
    }

    private void beginOn(OneTrip trip, Run run, LocalDate date) {
        trip.ask(
                row -> {
                    Held begun = new Held(
                            row.getInt("id"), run.with(Readings.builder().build()), row.getInt("day"), 0);
                    begun.isOn(Days.name(register, date), date);
                    held.put(run.run(), begun);
                },
                """
                insert into reading.under_way
                    (id, register, day, run, method, instrument, operator, started_at, started_offset, readings,
                     first_at, last_at)
                select nextval('reading.run_id'), d.register, d.id, ?, ?, ?, ?, ?, ?, 0, ?, ?
                from intake.day d where d.register = ? and d.on_date = ?
                on conflict (register, run) do nothing
                returning id, day
                """,
                run.run(),
                run.method(),
                run.instrument(),
                run.operator().orElse(null),
                startedAt(run),
                run.startedAt().getOffset().getTotalSeconds(),
                at.atOffset(ZoneOffset.UTC),
                at.atOffset(ZoneOffset.UTC),
                register,
                date);
    }

    /** As precisely as the database keeps it. */
    private static OffsetDateTime startedAt(Run run) {
        return run.startedAt().toInstant().truncatedTo(ChronoUnit.MICROS).atOffset(ZoneOffset.UTC);
    }

    /**
     * The runs that end with what was added.
     *
     * @param trip with what was added, which is sent when one ends
     */
    List<Whole> ended(OneTrip trip) throws SQLException {
        List<Whole> all = new ArrayList<>();
        if (held.values().stream().anyMatch(one -> one.ends)) {
            trip.send(handle);
        }
        for (Held one : held.values()) {
            if (one.ends) {
                all.add(whole(one));
            }
        }
        return all;
    }

    /** A run under way with everything that was read of it, held until the transaction ends. */
    Optional<Whole> whole(String run) throws SQLException {
        lock(run);
        Held its = held.get(run);
        return its == null ? Optional.empty() : Optional.of(whole(its));
    }

    private Whole whole(Held its) throws SQLException {
        Readings readings = StoredReadings.readings(handle, List.of(its.id)).getOrDefault(its.id, its.head.readings());
        if (readings.size() != its.readings) {
            throw new IllegalStateException("run " + its.head.run() + " was stored with " + its.readings
                    + " readings, the database holds " + readings.size() + ": restore it from a backup");
        }
        return new Whole(its.id, its.head.with(readings).underWay(false));
    }

    private static boolean sameHead(Run one, Run other) {
        return one.method().equals(other.method())
                && one.instrument().equals(other.instrument())
                && one.operator().equals(other.operator())
                && one.startedAt()
                        .truncatedTo(ChronoUnit.MICROS)
                        .equals(other.startedAt().truncatedTo(ChronoUnit.MICROS));
    }

    private static String told(Run run) {
        return "method " + run.method() + " on " + run.instrument() + " by "
                + run.operator().orElse("nobody") + " from " + run.startedAt();
    }
}
