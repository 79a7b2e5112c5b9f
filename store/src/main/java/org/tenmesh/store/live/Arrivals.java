package org.tenmesh.store.live;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.store.custody.ChargeRecord;
import org.tenmesh.store.days.DayTaking;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.days.StoredReadings;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.OneTrip;
import org.tenmesh.store.rows.Refused;

/**
 * Takes what arrives while runs are under way, each arrival once and whole. May be used by several threads, and by several servers on one
 * database.
 */
public final class Arrivals {
    /** SQLSTATE of a deadlock: PostgreSQL's manual, appendix A. The transaction is gone and may be done again. */
    private static final String DEADLOCK = "40P01";

    private static final int TRIES = 5;

    private final Jdbi app;
    private final Journal journal;
    private final DayTaking days;
    private final Clock clock;
    private final String register;
    private final Together<Asked, Taken> together;

    /** One arrival that is to be taken, and for whom. */
    private record Asked(Arrival arrival, String actor) {}

    public Arrivals(Jdbi app, Journal journal, DayTaking days, Clock clock) {
        this(app, journal, days, clock, Laboratory.OWN_REGISTER);
    }

    private Arrivals(Jdbi app, Journal journal, DayTaking days, Clock clock, String register) {
        this.app = app;
        this.journal = journal;
        this.days = days;
        this.clock = clock;
        this.register = register;
        this.together = new Together<>(Asked::actor, this::takenTogether);
    }

    /** The same for runs of another register of lab numbers than the laboratory's own. */
    public Arrivals in(String another) {
        return new Arrivals(app, journal, days, clock, another);
    }

    /**
     * Takes one arrival: its bytes, its readings and the journal entry that vouches for them, in one transaction. What other threads ask to be
     * taken while a transaction is under way goes with the next one; each caller is answered when its own is durable.
     *
     * <p>A run is under way from its first part on. The readings of each part follow on those before; with the last part the run ends, and is
     * stored as {@link org.tenmesh.store.Store#take} stores it. An arrival with a source and key that were taken before, and the same bytes, is
     * not stored again.
     *
     * @param actor on whose behalf the source is read
     * @return what was taken, when it is durable
     * @throws Refused when the same key came before with other bytes, when the head of a run is not that of its earlier parts, or when the
     *     run has ended; then nothing is stored
     */
    public Taken take(Arrival arrival, String actor) {
        check(arrival);
        check(actor);
        return together.ask(new Asked(arrival, actor));
    }

    /**
     * {@link #take(Arrival, String)} of several that came together, in one transaction: all or none.
     *
     * @throws Refused with the first that is refused; then none of them is stored
     */
    public List<Taken> take(List<Arrival> arrivals, String actor) {
        arrivals.forEach(Arrivals::check);
        check(actor);
        return again("the arrival could not be stored", handle -> taken(handle, arrivals, actor));
    }

    private List<Taken> takenTogether(List<Asked> all) {
        return again(
                "the arrival could not be stored",
                handle -> taken(
                        handle,
                        all.stream().map(Asked::arrival).toList(),
                        all.get(0).actor()));
    }

    private static void check(String actor) {
        if (actor.isBlank()) {
            throw new Refused("an arrival needs the name of whom it is taken for; nothing was stored");
        }
    }

    private static void check(Arrival arrival) {
        if (arrival.source().isBlank() || arrival.key().isBlank()) {
            throw new Refused(
                    "an arrival needs the name of its source and the key by which the source knows it, found source \""
                            + arrival.source() + "\" and key \"" + arrival.key() + "\"; nothing was stored");
        }
        if (arrival.setAside().filter(String::isBlank).isPresent()) {
            throw new Refused("arrival " + arrival.key() + " of " + arrival.source()
                    + " is set aside without a reason; nothing was stored");
        }
        long runs = arrival.parts().stream()
                .map(part -> part.run().run())
                .distinct()
                .count();
        if (runs < arrival.parts().size()) {
            throw new Refused("arrival " + arrival.key() + " of " + arrival.source()
                    + " brings one run in several parts, expected one part of each run; nothing was stored");
        }
    }

    private List<Taken> taken(Handle handle, List<Arrival> arrivals, String actor) throws SQLException {
        Instant at = clock.instant().truncatedTo(ChronoUnit.MICROS);
        List<Taken> all = new ArrayList<>();
        List<Object> vouched = new ArrayList<>();
        RunsUnderWay runs = new RunsUnderWay(handle, register, at);
        List<String> digests =
                arrivals.stream().map(arrival -> sha256(arrival.bytes())).toList();
        Map<Integer, Long> ids = new HashMap<>();
        OneTrip trip = new OneTrip();
        runs.hold(
                trip,
                arrivals.stream()
                        .flatMap(arrival -> arrival.parts().stream())
                        .map(RunPart::run)
                        .toList());
        for (int i = 0; i < arrivals.size(); i++) {
            int place = i;
            insert(trip, row -> ids.put(place, row.getLong(1)), arrivals.get(i), digests.get(i), at, actor);
        }
        trip.send(handle);
        for (int i = 0; i < arrivals.size(); i++) {
            Arrival arrival = arrivals.get(i);
            String sha256 = digests.get(i);
            Long id = ids.get(i);
            if (id == null) {
                // It may have come before among these.
                runs.write(trip);
                trip.send(handle);
                all.add(before(handle, arrival, sha256));
                continue;
            }
            List<Taken.Lines> lines = new ArrayList<>();
            List<Object> parts = new ArrayList<>();
            for (RunPart part : arrival.parts()) {
                RunsUnderWay.Added added = runs.add(id, lines.size(), part);
                lines.add(new Taken.Lines(part.run().run(), added.day(), added.first(), added.last(), part.last()));
                parts.add(List.of(
                        part.run().run(),
                        added.run(),
                        added.first(),
                        added.last(),
                        added.sha256(),
                        added.day(),
                        part.last()));
            }
            vouched.add(List.of(
                    arrival.source(),
                    arrival.key(),
                    sha256,
                    parts,
                    arrival.setAside().orElse(""),
                    arrival.name(),
                    received(arrival).toString(),
                    register));
            all.add(new Taken(arrival.source(), arrival.key(), sha256, at, false, lines, arrival.setAside()));
        }
        if (vouched.isEmpty()) {
            return all;
        }
        runs.write(trip);
        for (RunsUnderWay.Whole ended : runs.ended(trip)) {
            end(handle, ended, actor);
        }
        for (Map.Entry<Integer, Long> one : new TreeMap<>(ids).entrySet()) {
            Arrival arrival = arrivals.get(one.getKey());
            if (arrival.recorded().isPresent()) {
                ChargeRecord.received(
                        handle,
                        journal,
                        arrival.source(),
                        one.getValue(),
                        arrival.recorded().get(),
                        actor,
                        at);
            }
        }
        journal.write(
                handle,
                trip,
                at,
                actor,
                "readings-taken",
                String.join(
                        ", ",
                        arrivals.stream()
                                .map(Arrival::source)
                                .distinct()
                                .sorted()
                                .toList()),
                Json.object("arrivals", vouched));
        return all;
    }

    private Receipt end(Handle handle, RunsUnderWay.Whole whole, String actor) throws SQLException {
        return days.end(handle, whole.id(), whole.run(), register, actor);
    }

    /** @param reader is given the id; no row where the source and key came before */
    private void insert(OneTrip trip, OneTrip.Reader reader, Arrival arrival, String sha256, Instant at, String actor) {
        trip.ask(
                reader,
                """
                insert into capture.arrival
                    (register, source, key, name, received_at, taken_at, sha256, bytes, set_aside, actor)
                values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
                on conflict (source, key) do nothing
                returning id
                """,
                register,
                arrival.source(),
                arrival.key(),
                arrival.name(),
                received(arrival).atOffset(ZoneOffset.UTC),
                at.atOffset(ZoneOffset.UTC),
                sha256,
                arrival.bytes(),
                arrival.setAside().orElse(null),
                actor);
    }

    /** As precisely as the database keeps it. */
    private static Instant received(Arrival arrival) {
        return arrival.receivedAt().truncatedTo(ChronoUnit.MICROS);
    }

    private static Taken before(Handle handle, Arrival arrival, String sha256) {
        record First(long id, String sha256, Instant takenAt, Optional<String> setAside) {}
        First first = handle.createQuery("""
                        select id, sha256, taken_at, set_aside from capture.arrival where source = :source and key = :key
                        """)
                .bind("source", arrival.source())
                .bind("key", arrival.key())
                .map((rs, context) -> new First(
                        rs.getLong("id"),
                        rs.getString("sha256"),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant(),
                        Optional.ofNullable(rs.getString("set_aside"))))
                .one();
        if (!first.sha256().equals(sha256)) {
            throw new Refused("arrival " + arrival.key() + " of " + arrival.source() + " was taken before, at "
                    + first.takenAt() + ", with other bytes (digest " + first.sha256() + ", now " + sha256
                    + "); nothing was stored: what was taken never changes, other bytes need a key of their own");
        }
        List<Taken.Lines> lines = handle.createQuery("""
                        select p.name, d.name as day, p.first_line, p.last_line, p.ends
                        from capture.part p
                        join intake.day d on d.id = p.day
                        where p.arrival = :id
                        order by p.ord
                        """)
                .bind("id", first.id())
                .map((rs, context) -> new Taken.Lines(
                        rs.getString("name"),
                        rs.getString("day"),
                        rs.getInt("first_line"),
                        rs.getInt("last_line"),
                        rs.getBoolean("ends")))
                .list();
        return new Taken(arrival.source(), arrival.key(), sha256, first.takenAt(), true, lines, first.setAside());
    }

    /**
     * Ends a run under way with what was read of it: what its source will not send any more is missing from then on, and the judge says so.
     *
     * @param reason why it ends so, not empty
     * @throws Refused when no such run is under way, or the reason is missing
     */
    public Receipt end(String run, String reason, String actor) {
        if (reason.isBlank() || actor.isBlank()) {
            throw new Refused("run " + run + " is ended by a person, with a reason; nothing was stored");
        }
        return again("run " + run + " could not be ended", handle -> {
            Instant at = clock.instant().truncatedTo(ChronoUnit.MICROS);
            RunsUnderWay.Whole whole = new RunsUnderWay(handle, register, at)
                    .whole(run)
                    .orElseThrow(() -> new Refused("no run " + run + " is under way; nothing was stored"));
            Receipt receipt = end(handle, whole, actor);
            journal.write(
                    handle,
                    at,
                    actor,
                    "run-ended",
                    receipt.day(),
                    Json.object("run", run, "readings", whole.run().readings().size(), "reason", reason));
            return receipt;
        });
    }

    /** The runs of which more is to come, of every register, the newest first. */
    public List<RunUnderWay> underWay() {
        return app.withHandle(handle -> handle.createQuery("""
                        select d.name as day, u.run, u.method, u.instrument, u.operator, u.started_at, u.started_offset,
                               u.readings, u.first_at, u.last_at
                        from reading.under_way u
                        join intake.day d on d.id = u.day
                        order by u.id desc
                        """)
                .map((rs, context) -> new RunUnderWay(
                        rs.getString("day"),
                        StoredReadings.headUnderWay(rs),
                        rs.getInt("readings"),
                        rs.getObject("first_at", OffsetDateTime.class).toInstant(),
                        rs.getObject("last_at", OffsetDateTime.class).toInstant()))
                .list());
    }

    /** The newest arrivals, the newest first. */
    public List<KeptArrival> newest(int most) {
        return newest(Optional.empty(), most);
    }

    /** The newest arrivals from one source, the newest first. */
    public List<KeptArrival> newest(String source, int most) {
        return newest(Optional.of(source), most);
    }

    private List<KeptArrival> newest(Optional<String> source, int most) {
        return app.withHandle(handle -> handle.createQuery("""
                        select a.id, a.source, a.key, a.name, a.received_at, a.taken_at, a.sha256,
                               octet_length(a.bytes) as bytes, a.set_aside, a.actor,
                               array(select p.name from capture.part p where p.arrival = a.id order by p.ord) as runs,
                               coalesce((select sum(p.last_line - p.first_line + 1) from capture.part p
                                         where p.arrival = a.id), 0)
                               + coalesce((select cardinality(r.at_ms) from custody.charge_record r where r.arrival = a.id), 0) as readings
                        from capture.arrival a
                        """ + (source.isPresent() ? "where a.source = :source " : "")
                        + "order by a.id desc limit :most")
                .bind("most", most)
                .bindMap(source.map(one -> Map.of("source", one)).orElse(Map.of()))
                .map((rs, context) -> new KeptArrival(
                        rs.getLong("id"),
                        rs.getString("source"),
                        rs.getString("key"),
                        rs.getString("name"),
                        rs.getObject("received_at", OffsetDateTime.class).toInstant(),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant(),
                        rs.getString("sha256"),
                        rs.getInt("bytes"),
                        List.of((String[]) rs.getArray("runs").getArray()),
                        rs.getInt("readings"),
                        Optional.ofNullable(rs.getString("set_aside")),
                        rs.getString("actor")))
                .list());
    }

    /** The bytes of an arrival as they came; empty when there is none with this source and key. */
    public Optional<byte[]> bytes(String source, String key) {
        return app.withHandle(
                handle -> handle.createQuery("select bytes from capture.arrival where source = :source and key = :key")
                        .bind("source", source)
                        .bind("key", key)
                        .mapTo(byte[].class)
                        .findOne());
    }

    private interface Step<T> {
        T of(Handle handle) throws SQLException;
    }

    // Two that hold what the other waits for: the database ends one of them, which then finds the other done.
    private <T> T again(String failed, Step<T> step) {
        for (int tries = 1; ; tries++) {
            try {
                return app.<T, SQLException>inTransaction(step::of);
            } catch (SQLException | UnableToExecuteStatementException e) {
                SQLException cause = e instanceof SQLException own ? own : cause(e);
                String state = cause == null ? "" : String.valueOf(cause.getSQLState());
                if (state.startsWith("22") || state.startsWith("23")) {
                    throw new Refused(failed + " as it stands: " + e.getMessage() + "; nothing was stored");
                }
                if (!state.equals(DEADLOCK) || tries == TRIES) {
                    throw new IllegalStateException(failed + ": " + e.getMessage(), e);
                }
            }
        }
    }

    private static @Nullable SQLException cause(Exception e) {
        return e.getCause() instanceof SQLException cause ? cause : null;
    }

    private static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
