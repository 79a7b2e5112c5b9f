package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Refused;

/** The temperature record of charges: what is typed, read from a file, or sent by the recorder of the device. */
public final class ChargeRecord {
    private ChargeRecord() {}

    /** Adds points, of an arrival where a recorder sent them. */
    static void add(
            Handle handle,
            Journal journal,
            String charge,
            String source,
            Optional<Long> arrival,
            List<Charge.Point> points,
            String person,
            Instant at) {
        int ord = handle.createUpdate("""
                        insert into custody.charge_record (charge, ord, source, sensor, at_ms, celsius, actor, at, arrival)
                        select :charge, count(*) + 1, :source, :sensor, :atMs, :celsius, :actor, :at, :arrival
                        from custody.charge_record where charge = :charge
                        """)
                .bind("charge", charge)
                .bind("source", source)
                .bindArray(
                        "sensor",
                        String.class,
                        points.stream().map(Charge.Point::sensor).toList())
                .bindArray(
                        "atMs",
                        Long.class,
                        points.stream().map(one -> one.at().toEpochMilli()).toList())
                .bindArray(
                        "celsius",
                        Double.class,
                        points.stream().map(Charge.Point::celsius).toList())
                .bind("actor", person)
                .bind("at", Kept.millis(at))
                .bind("arrival", arrival)
                .executeAndReturnGeneratedKeys("ord")
                .mapTo(Integer.class)
                .one();
        Kept.of(Kept.RECORD, charge + "/" + ord, digest(source, arrival, points), person, at)
                .write(handle, journal);
    }

    /**
     * Adds what the recorder of a device sent to the record of the charge of that device that is under way, within the transaction that keeps
     * the arrival: both are durable or neither. A reading from before the charge was opened is not of it; one that is in the record already is
     * not added again. Without a charge under way nothing is added.
     *
     * @param source where it came from
     * @param arrival its number
     * @throws Refused where several charges of the device are under way
     */
    public static void received(
            Handle handle, Journal journal, String source, long arrival, Recorded recorded, String actor, Instant at) {
        LedgerBook.hold(handle);
        record Open(String name, Instant openedAt) {}
        List<Open> open = handle.createQuery("""
                        select name, opened_at from custody.charge c
                        where device = :device
                          and not exists (select from custody.charge_closed e where e.charge = c.name)
                        order by opened_at, name
                        """)
                .bind("device", recorded.device())
                .map((rs, ctx) -> new Open(rs.getString("name"), at(rs, "opened_at")))
                .list();
        if (open.size() > 1) {
            throw new Refused("several charges of " + recorded.device() + " are under way ("
                    + open.stream().map(Open::name).collect(Collectors.joining(", "))
                    + "), and it is not known whose temperatures these are: expected one; close the others, then read"
                    + " this again");
        }
        if (open.isEmpty()) {
            return;
        }
        Open its = open.get(0);
        Set<Charge.Point> there = new HashSet<>(points(handle, its.name()));
        List<Charge.Point> fresh = recorded.points().stream()
                .map(one -> new Charge.Point(one.at().truncatedTo(ChronoUnit.MILLIS), one.sensor(), one.celsius()))
                .filter(one -> !one.at().isBefore(its.openedAt()) && there.add(one))
                .toList();
        if (!fresh.isEmpty()) {
            add(handle, journal, its.name(), source, Optional.of(arrival), fresh, actor, at);
        }
    }

    private static List<Charge.Point> points(Handle handle, String charge) {
        List<Charge.Point> points = new ArrayList<>();
        handle.createQuery("select * from custody.charge_record where charge = :charge order by ord")
                .bind("charge", charge)
                .map((rs, ctx) -> points.addAll(points(rs)))
                .list();
        return points;
    }

    static List<Charge.Point> points(ResultSet rs) throws SQLException {
        String[] sensors = (String[]) rs.getArray("sensor").getArray();
        Long[] moments = (Long[]) rs.getArray("at_ms").getArray();
        Double[] celsius = (Double[]) rs.getArray("celsius").getArray();
        List<Charge.Point> points = new ArrayList<>();
        for (int i = 0; i < sensors.length; i++) {
            points.add(new Charge.Point(Instant.ofEpochMilli(moments[i]), sensors[i], celsius[i]));
        }
        return points;
    }

    /** What the journal must say of it. */
    static List<Kept> kept(Handle handle) {
        return handle.createQuery("select * from custody.charge_record order by charge, ord")
                .map((rs, ctx) -> Kept.of(
                        Kept.RECORD,
                        rs.getString("charge") + "/" + rs.getInt("ord"),
                        digest(rs.getString("source"), arrival(rs), points(rs)),
                        rs.getString("actor"),
                        at(rs, "at")))
                .list();
    }

    private static Optional<Long> arrival(ResultSet rs) throws SQLException {
        return Optional.ofNullable(rs.getObject("arrival", Long.class));
    }

    private static Sha256 digest(String source, Optional<Long> arrival, List<Charge.Point> points) {
        Sha256 digest = new Sha256().text(source).number(points.size());
        arrival.ifPresent(digest::number);
        points.forEach(
                one -> digest.number(one.at().toEpochMilli()).text(one.sensor()).number(one.celsius()));
        return digest;
    }

    private static Instant at(ResultSet rs, String column) throws SQLException {
        return rs.getObject(column, OffsetDateTime.class).toInstant();
    }
}
