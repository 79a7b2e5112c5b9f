package org.tenmesh.store.live;

import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.StoredReadings;

/** What is kept of arrivals and of the runs they belong to, found by key, digest or name. May be used by several threads. */
public final class ArrivalRecord {
    private final Jdbi app;
    private final String register;

    public ArrivalRecord(Jdbi app) {
        this(app, Laboratory.OWN_REGISTER);
    }

    private ArrivalRecord(Jdbi app, String register) {
        this.app = app;
        this.register = register;
    }

    /** The same of another register of lab numbers than the laboratory's own. */
    public ArrivalRecord in(String another) {
        return new ArrivalRecord(app, another);
    }

    /**
     * An arrival as far as it tells whether it is known.
     *
     * @param setAside why it was not read; empty when it was
     */
    public record Known(String source, String name, Instant receivedAt, String sha256, Optional<String> setAside) {}

    /** The arrival from a source under a key. */
    public Optional<Known> known(String source, String key) {
        return app.withHandle(handle -> handle.createQuery("""
                        select source, name, received_at, sha256, set_aside from capture.arrival
                        where source = :source and key = :key
                        """)
                .bind("source", source)
                .bind("key", key)
                .map((rs, context) -> known(
                        rs.getString("source"),
                        rs.getString("name"),
                        rs.getObject("received_at", OffsetDateTime.class),
                        rs.getString("sha256"),
                        rs.getString("set_aside")))
                .findOne());
    }

    /** The first arrival with these bytes that was read, from whatever source. */
    public Optional<Known> firstRead(String sha256) {
        return app.withHandle(handle -> handle.createQuery("""
                        select source, name, received_at, sha256, set_aside from capture.arrival
                        where sha256 = :sha256 and set_aside is null
                        order by id limit 1
                        """)
                .bind("sha256", sha256)
                .map((rs, context) -> known(
                        rs.getString("source"),
                        rs.getString("name"),
                        rs.getObject("received_at", OffsetDateTime.class),
                        rs.getString("sha256"),
                        rs.getString("set_aside")))
                .findOne());
    }

    private static Known known(
            String source, String name, OffsetDateTime receivedAt, String sha256, @Nullable String setAside) {
        return new Known(source, name, receivedAt.toInstant(), sha256, Optional.ofNullable(setAside));
    }

    /** The newest run of this instrument and method of which more is to come, with what was read of it. */
    public Optional<Run> underWay(String instrument, String method) {
        return run("u.instrument = :a and u.method = :b", instrument, method);
    }

    /** The run of this name of which more is to come, with what was read of it. */
    public Optional<Run> underWay(String run) {
        return run("u.run = :a and u.run = :b", run, run);
    }

    private Optional<Run> run(String which, String a, String b) {
        record Head(int id, int readings, Run run) {}
        return app.inTransaction(handle -> {
            Optional<Head> head = handle.createQuery("""
                            select u.id, u.run, u.method, u.instrument, u.operator, u.started_at, u.started_offset, u.readings
                            from reading.under_way u
                            where u.register = :register and
                            """ + " " + which + " order by u.id desc limit 1")
                    .bind("register", register)
                    .bind("a", a)
                    .bind("b", b)
                    .map((rs, context) -> new Head(
                            rs.getInt("id"),
                            rs.getInt("readings"),
                            StoredReadings.headUnderWay(rs).underWay(true)))
                    .findOne();
            return head.isEmpty()
                    ? Optional.empty()
                    : Optional.of(head.get()
                            .run()
                            .with(readings(handle, head.get().id(), head.get().run())));
        });
    }

    private static Readings readings(Handle handle, int id, Run head) {
        try {
            return StoredReadings.readings(handle, List.of(id)).getOrDefault(id, head.readings());
        } catch (SQLException failed) {
            throw new IllegalStateException("the readings of run " + head.run() + " could not be read", failed);
        }
    }

    private static Optional<Run> ended(Handle handle, int id) {
        try {
            return StoredReadings.load(handle, "t.id = " + id).stream().findFirst();
        } catch (SQLException failed) {
            throw new IllegalStateException("a run could not be read", failed);
        }
    }

    /** A run of this name and instrument that began on this date, by the offset it began in, and has ended. */
    public Optional<Run> ended(String instrument, String run, LocalDate date, ZoneOffset offset) {
        return app.inTransaction(handle -> {
            Optional<Integer> id = handle.createQuery("""
                            select r.id from reading.run r
                            join intake.day d on d.id = r.day
                            where d.register = :register and r.run = :run and r.instrument = :instrument
                              and r.started_at >= :from and r.started_at < :to
                            order by r.id desc limit 1
                            """)
                    .bind("register", register)
                    .bind("run", run)
                    .bind("instrument", instrument)
                    .bind("from", date.atStartOfDay().atOffset(offset).withOffsetSameInstant(ZoneOffset.UTC))
                    .bind("to", date.plusDays(1).atStartOfDay().atOffset(offset).withOffsetSameInstant(ZoneOffset.UTC))
                    .mapTo(Integer.class)
                    .findOne();
            return id.isEmpty() ? Optional.empty() : ended(handle, id.get());
        });
    }
}
