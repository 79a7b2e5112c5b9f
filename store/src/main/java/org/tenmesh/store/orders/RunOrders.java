package org.tenmesh.store.orders;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.PreparedBatch;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Run orders, each change with its entry in the journal. */
public final class RunOrders {
    private static final int LONGEST_REASON = 500;
    /** {@code read}: a run of this name by this method began after the order was made, or is under way. */
    private static final String KEPT = """
            select o.*, c.reason, c.actor as cancelled_by, c.at as cancelled_at,
                   exists (select from reading.run r where r.run = o.name and r.method = o.method)
                   or exists (select from reading.under_way u where u.run = o.name and u.method = o.method) as read
            from reading.run_order o left join reading.run_order_cancelled c on c.run_order = o.id
            """;

    private final Jdbi app;
    private final Journal journal;

    public RunOrders(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * Keeps an order.
     *
     * @throws Refused where the name is taken, or one of its soils waits in another open order of the method
     */
    public void keep(RunOrder order, String actor) {
        app.useTransaction(handle -> {
            lock(handle);
            if (find(handle, order.name()).isPresent()) {
                throw new Refused("There is a run order " + order.name() + " already; nothing was kept.");
            }
            Set<String> own = new HashSet<>(order.labNumbers());
            for (KeptOrder other : open(handle, order.method())) {
                for (String labNumber : other.order().labNumbers()) {
                    if (own.contains(labNumber)) {
                        throw new Refused("Soil " + labNumber + " waits in run order "
                                + other.order().name()
                                + " already; nothing was kept. Look at that order, or cancel it.");
                    }
                }
            }
            OffsetDateTime madeAt = order.madeAt().truncatedTo(ChronoUnit.MICROS);
            int id = handle.createUpdate("""
                            insert into reading.run_order (name, method, instrument, made_at, made_offset, actor, sha256)
                            values (:name, :method, :instrument, :at, :offset, :actor, :sha256)
                            """)
                    .bind("name", order.name())
                    .bind("method", order.method())
                    .bind("instrument", order.instrument())
                    .bind("at", madeAt)
                    .bind("offset", madeAt.getOffset().getTotalSeconds())
                    .bind("actor", actor)
                    .bind("sha256", order.digest())
                    .executeAndReturnGeneratedKeys("id")
                    .mapTo(int.class)
                    .one();
            PreparedBatch rows = handle.prepareBatch("""
                    insert into reading.run_order_place (run_order, position, role, identity, dilution, again)
                    values (:order, :position, :role, :identity, :dilution, :again)
                    """);
            for (RunOrder.Place place : order.places()) {
                rows.bind("order", id)
                        .bind("position", place.position())
                        .bind("role", place.role().word())
                        .bind("identity", place.identity())
                        .bind("dilution", place.dilution())
                        .bind("again", place.again())
                        .add();
            }
            rows.execute();
            journal.write(
                    handle,
                    madeAt.toInstant(),
                    actor,
                    "run-order-made",
                    order.name(),
                    Json.object(
                            "method",
                            order.method(),
                            "instrument",
                            order.instrument(),
                            "places",
                            order.places().size(),
                            "sha256",
                            order.digest(),
                            "offset",
                            madeAt.getOffset().toString()));
        });
    }

    /**
     * Cancels an order.
     *
     * @throws Refused where there is none of this name, it is cancelled already, its run was read, or the reason is empty
     */
    public void cancel(String name, String reason, String actor, Instant at) {
        if (reason.isBlank() || reason.length() > LONGEST_REASON) {
            throw new Refused("A run order is cancelled with a reason of 1 to " + LONGEST_REASON
                    + " characters; nothing was changed.");
        }
        app.useTransaction(handle -> {
            lock(handle);
            KeptOrder kept = find(handle, name)
                    .orElseThrow(() -> new Refused("There is no run order " + name + "; nothing was changed."));
            if (!kept.open()) {
                throw new Refused("Run order " + name + (kept.read() ? " was read" : " was cancelled")
                        + " already; nothing was changed.");
            }
            handle.createUpdate("""
                            insert into reading.run_order_cancelled (run_order, reason, actor, at)
                            select id, :reason, :actor, :at from reading.run_order where name = :name
                            """)
                    .bind("reason", reason)
                    .bind("actor", actor)
                    .bind("at", at.truncatedTo(ChronoUnit.MICROS).atOffset(ZoneOffset.UTC))
                    .bind("name", name)
                    .execute();
            journal.write(handle, at, actor, "run-order-cancelled", name, Json.object("reason", reason));
        });
    }

    public Optional<KeptOrder> find(String name) {
        return app.withHandle(handle -> find(handle, name));
    }

    /** Every order that waits for its run, and the newest others, the newest first. */
    public List<KeptOrder> newest(int most) {
        return app.withHandle(handle -> withPlaces(
                handle,
                handle.createQuery("select * from (" + KEPT
                                + ") k order by (reason is null and not read) desc, id desc limit :most")
                        .bind("most", most)
                        .map((rs, ctx) -> Row.of(rs))
                        .list()));
    }

    /** Every order ever made, the oldest first. */
    public static List<KeptOrder> all(Handle handle) {
        return withPlaces(
                handle,
                handle.createQuery(KEPT + " order by o.id")
                        .map((rs, ctx) -> Row.of(rs))
                        .list());
    }

    private static void lock(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('reading.run_order'))");
    }

    private static Optional<KeptOrder> find(Handle handle, String name) {
        return withPlaces(
                        handle,
                        handle.createQuery(KEPT + " where o.name = :name")
                                .bind("name", name)
                                .map((rs, ctx) -> Row.of(rs))
                                .list())
                .stream()
                .findFirst();
    }

    private static List<KeptOrder> open(Handle handle, String method) {
        return withPlaces(
                handle,
                handle.createQuery(
                                "select * from (" + KEPT + ") k where method = :method and reason is null and not read")
                        .bind("method", method)
                        .map((rs, ctx) -> Row.of(rs))
                        .list());
    }

    private static List<KeptOrder> withPlaces(Handle handle, List<Row> rows) {
        List<KeptOrder> kept = new ArrayList<>();
        for (Row row : rows) {
            List<RunOrder.Place> places = handle.createQuery(
                            "select position, role, identity, dilution, again from reading.run_order_place"
                                    + " where run_order = :order order by position")
                    .bind("order", row.id())
                    .map((rs, ctx) -> place(rs))
                    .list();
            kept.add(new KeptOrder(
                    new RunOrder(row.name(), row.method(), row.instrument(), row.madeAt(), places),
                    row.actor(),
                    row.cancelled(),
                    row.read()));
        }
        return List.copyOf(kept);
    }

    private static RunOrder.Place place(ResultSet rs) throws SQLException {
        String role = rs.getString("role");
        return new RunOrder.Place(
                rs.getInt("position"),
                Role.of(role).orElseThrow(() -> new IllegalStateException("a place of the unknown role " + role)),
                rs.getString("identity"),
                rs.getDouble("dilution"),
                rs.getBoolean("again"));
    }

    private record Row(
            int id,
            String name,
            String method,
            String instrument,
            OffsetDateTime madeAt,
            String actor,
            Optional<KeptOrder.Cancelled> cancelled,
            boolean read) {
        static Row of(ResultSet rs) throws SQLException {
            Optional<KeptOrder.Cancelled> cancelled = rs.getString("reason") == null
                    ? Optional.empty()
                    : Optional.of(new KeptOrder.Cancelled(
                            rs.getString("reason"),
                            rs.getString("cancelled_by"),
                            rs.getObject("cancelled_at", OffsetDateTime.class).toInstant()));
            return new Row(
                    rs.getInt("id"),
                    rs.getString("name"),
                    rs.getString("method"),
                    rs.getString("instrument"),
                    rs.getObject("made_at", OffsetDateTime.class)
                            .withOffsetSameInstant(ZoneOffset.ofTotalSeconds(rs.getInt("made_offset"))),
                    rs.getString("actor"),
                    cancelled,
                    rs.getBoolean("read"));
        }
    }
}
