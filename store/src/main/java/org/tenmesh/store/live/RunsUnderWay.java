package org.tenmesh.store.live;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
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
import org.tenmesh.store.rows.Ids;
import org.tenmesh.store.rows.Refused;

/** The runs under way that one transaction adds to; each is held until the transaction ends. */
final class RunsUnderWay {
    private final Handle handle;
    private final String register;
    private final Instant at;
    private final Map<String, Held> held = new HashMap<>();

    RunsUnderWay(Handle handle, String register, Instant at) {
        this.handle = handle;
        this.register = register;
        this.at = at;
    }

    /** A run under way, whose row this transaction has locked. */
    private static final class Held {
        private final int id;
        private final Run head;
        private int day;
        private int readings;
        private boolean ends;

        Held(int id, Run head, int day, int readings) {
            this.id = id;
            this.head = head;
            this.day = day;
            this.readings = readings;
        }
    }

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

    static Run head(ResultSet row) throws SQLException {
        return new Run(
                row.getString("run"),
                row.getString("method"),
                row.getString("instrument"),
                Optional.ofNullable(row.getString("operator")),
                Days.at(row.getObject("started_at", OffsetDateTime.class).toInstant(), row.getInt("started_offset")),
                Readings.builder().build(),
                true);
    }

    /** Locks the runs that are under way, always in one order, so that two transactions do not wait for each other. */
    void hold(List<Run> runs) {
        lock(runs.stream().map(Run::run).distinct().toList());
    }

    private void lock(List<String> runs) {
        if (runs.isEmpty()) {
            return;
        }
        handle.createQuery("""
                        select id, day, readings, run, method, instrument, operator, started_at, started_offset
                        from reading.under_way
                        where register = :register and run = any(:runs)
                        order by run
                        for update
                        """)
                .bind("register", register)
                .bindArray("runs", String.class, runs)
                .map((row, context) -> new Held(row.getInt("id"), head(row), row.getInt("day"), row.getInt("readings")))
                .forEach(one -> held.put(one.head.run(), one));
    }

    /** Adds what is new of a run, which is under way from its first part on. */
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
        List<String> fresh = identities(its.id, run);
        StoredReadings.append(handle, its.id, its.readings, run, fresh);
        its.readings += run.readings().size();
        its.ends = part.last();
        if (!fresh.isEmpty()) {
            its.day = RunDate.dayOf(handle, register, its.head, read(its.id), at);
        }
        handle.createUpdate(
                        "update reading.under_way set day = :day, readings = :readings, last_at = :at where id = :id")
                .bind("day", its.day)
                .bind("readings", its.readings)
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .bind("id", its.id)
                .execute();
        String sha256 = RunDigest.of(its.head.with(run.readings()));
        handle.createUpdate("""
                        insert into capture.part (arrival, ord, run, name, day, first_line, last_line, ends, sha256)
                        values (:arrival, :ord, :run, :name, :day, :first, :last, :ends, :sha256)
                        """)
                .bind("arrival", arrival)
                .bind("ord", ord)
                .bind("run", its.id)
                .bind("name", run.run())
                .bind("day", its.day)
                .bind("first", first)
                .bind("last", its.readings)
                .bind("ends", part.last())
                .bind("sha256", sha256)
                .execute();
        String day = handle.createQuery("select name from intake.day where id = :day")
                .bind("day", its.day)
                .mapTo(String.class)
                .one();
        return new Added(its.id, day, first, its.readings, sha256);
    }

    private Held begin(Run run) {
        refuseEnded(run);
        int id = Ids.next(handle, "reading.run_id", 1).get(0);
        int day = RunDate.dayOf(handle, register, run, List.of(), at);
        int made = handle.createUpdate("""
                        insert into reading.under_way
                            (id, register, day, run, method, instrument, operator, started_at, started_offset, readings,
                             first_at, last_at)
                        values (:id, :register, :day, :run, :method, :instrument, :operator, :started, :offset, 0, :at, :at)
                        on conflict (register, run) do nothing
                        """)
                .bind("id", id)
                .bind("register", register)
                .bind("day", day)
                .bind("run", run.run())
                .bind("method", run.method())
                .bind("instrument", run.instrument())
                .bind("operator", run.operator().orElse(null))
                .bind(
                        "started",
                        run.startedAt()
                                .toInstant()
                                .truncatedTo(ChronoUnit.MICROS)
                                .atOffset(ZoneOffset.UTC))
                .bind("offset", run.startedAt().getOffset().getTotalSeconds())
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .execute();
        if (made == 0) {
            // Begun by another transaction meanwhile.
            lock(List.of(run.run()));
        } else {
            held.put(run.run(), new Held(id, run.with(Readings.builder().build()), day, 0));
        }
        Held its = held.get(run.run());
        if (its == null) {
            throw new Refused("run " + run.run() + " ended while this part of it came; nothing was stored");
        }
        return its;
    }

    private void refuseEnded(Run run) {
        handle.createQuery("""
                        select d.name
                        from reading.run r
                        join intake.day d on d.id = r.day
                        where d.register = :register and r.run = :run and r.started_at = :started
                        limit 1
                        """)
                .bind("register", register)
                .bind("run", run.run())
                .bind(
                        "started",
                        run.startedAt()
                                .toInstant()
                                .truncatedTo(ChronoUnit.MICROS)
                                .atOffset(ZoneOffset.UTC))
                .mapTo(String.class)
                .findOne()
                .ifPresent(day -> {
                    throw new Refused(
                            "run " + run.run() + " of day " + day
                                    + " has ended; readings are never added to it, so nothing was stored: give the new readings a run of their own");
                });
    }

    // What soils a run has read decides on its day, and finds the run by them.
    private List<String> identities(int id, Run run) {
        List<String> now = StoredReadings.identities(run);
        if (now.isEmpty()) {
            return now;
        }
        Set<String> fresh = new LinkedHashSet<>(now);
        handle.createQuery("select identity from reading.identity where run = :run and identity = any(:now)")
                .bind("run", id)
                .bindArray("now", String.class, now)
                .mapTo(String.class)
                .forEach(fresh::remove);
        return List.copyOf(fresh);
    }

    private List<String> read(int id) {
        return handle.createQuery("select identity from reading.identity where run = :run")
                .bind("run", id)
                .mapTo(String.class)
                .list();
    }

    /** The runs that end with what was added. */
    List<Whole> ended() throws SQLException {
        List<Whole> all = new ArrayList<>();
        for (Held one : held.values()) {
            if (one.ends) {
                all.add(whole(one));
            }
        }
        return all;
    }

    /** A run under way with everything that was read of it, held until the transaction ends. */
    Optional<Whole> whole(String run) throws SQLException {
        lock(List.of(run));
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
