package org.tenmesh.store.days;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;
import org.tenmesh.store.rows.Ids;
import org.tenmesh.store.rows.OneTrip;

/** Runs and their readings, in and out by COPY. */
public final class StoredReadings {
    private static final List<String> INTO = List.of(
            "run",
            "line",
            "at",
            "value",
            "dilution",
            "position",
            "at_offset",
            "role",
            "identity",
            "channel",
            "quantity",
            "unit");

    private static final String TABLE = "reading.reading (" + String.join(", ", INTO) + ")";

    /** As many readings as cost less with other statements than with a COPY of their own. */
    private static final int FEW = 100;

    private StoredReadings() {}

    /** The lab numbers, and whatever else stands in their place, that a run read. */
    public static List<String> identities(Run run) {
        Readings readings = run.readings();
        BitSet read = new BitSet();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.role(i) == Role.SAMPLE || readings.role(i) == Role.DUPLICATE) {
                read.set(readings.identityCode(i));
            }
        }
        return read.stream().mapToObj(readings.identities()::get).toList();
    }

    /**
     * Adds runs with their readings and the identities they read.
     *
     * @param days the laboratory day of each
     * @param digests of each by {@link RunDigest}
     * @return the ids of the runs
     */
    static List<Integer> copy(Handle handle, int source, List<Run> runs, List<Integer> days, List<String> digests)
            throws SQLException {
        if (runs.isEmpty()) {
            return List.of();
        }
        Connection connection = handle.getConnection();
        List<Integer> ids = heads(handle, source, Ids.next(handle, "reading.run_id", runs.size()), runs, days, digests);
        try (CopyRows rows = new CopyRows(connection, "reading.identity (run, identity)")) {
            for (int i = 0; i < ids.size(); i++) {
                for (String identity : identities(runs.get(i))) {
                    rows.row(2).integer(ids.get(i)).text(identity);
                }
            }
            rows.end();
        }
        try (CopyRows rows = new CopyRows(connection, TABLE)) {
            for (int i = 0; i < ids.size(); i++) {
                copy(rows, ids.get(i), runs.get(i).readings());
            }
            rows.end();
        }
        return ids;
    }

    /** Adds runs without their readings. */
    static List<Integer> heads(
            Handle handle, int source, List<Integer> ids, List<Run> runs, List<Integer> days, List<String> digests)
            throws SQLException {
        RecordTables.RUN.copy(
                handle.getConnection(),
                List.of("id", "day", "source", "readings", "sha256"),
                runs,
                (run, i, row) -> row.integer(ids.get(i))
                        .integer(days.get(i))
                        .integer(source)
                        .integer(run.readings().size())
                        .text(digests.get(i)));
        return ids;
    }

    /**
     * Readings that follow on those of a run under way.
     *
     * @param run its id
     * @param after how many it has
     */
    public record Following(int run, int after, Readings readings) {}

    /** Adds readings to runs under way: few of them with what else goes to the database, many at once before it. */
    public static void append(Handle handle, OneTrip trip, List<Following> all) throws SQLException {
        long count = all.stream().mapToLong(one -> one.readings().size()).sum();
        if (count > FEW) {
            try (CopyRows rows = new CopyRows(handle.getConnection(), TABLE)) {
                for (Following one : all) {
                    copy(rows, one.run(), one.after(), one.readings());
                }
                rows.end();
            }
        } else if (count > 0) {
            add(trip, all);
        }
    }

    private static void add(OneTrip trip, List<Following> all) {
        List<Integer> run = new ArrayList<>();
        List<Integer> line = new ArrayList<>();
        List<Long> at = new ArrayList<>();
        List<Double> value = new ArrayList<>();
        List<Double> dilution = new ArrayList<>();
        List<Integer> position = new ArrayList<>();
        List<Integer> offset = new ArrayList<>();
        List<String> role = new ArrayList<>();
        List<String> identity = new ArrayList<>();
        List<String> channel = new ArrayList<>();
        List<String> quantity = new ArrayList<>();
        List<String> unit = new ArrayList<>();
        for (Following one : all) {
            Readings readings = one.readings();
            for (int i = 0; i < readings.size(); i++) {
                run.add(one.run());
                line.add(one.after() + i + 1);
                at.add(readings.atMillis(i));
                value.add(readings.value(i));
                dilution.add(readings.dilution(i));
                position.add(readings.position(i));
                offset.add(readings.offsetSeconds(i));
                role.add(readings.role(i).word());
                identity.add(readings.identity(i));
                channel.add(readings.channel(i));
                quantity.add(readings.quantity(i));
                unit.add(readings.unit(i).ucum());
            }
        }
        // Milliseconds as whole seconds and a rest: a number of milliseconds since 1970 times an interval would be
        // rounded.
        trip.add(
                "insert into " + TABLE + """
                         select run, line,
                               to_timestamp((millis - (millis % 1000 + 1000) % 1000) / 1000)
                                   + ((millis % 1000 + 1000) % 1000) * interval '1 millisecond',
                               value, dilution, position, at_offset, role, identity, channel, quantity, unit
                        from unnest(?::int[], ?::int[], ?::bigint[], ?::float8[], ?::float8[], ?::int[], ?::int[], ?::text[],
                                    ?::text[], ?::text[], ?::text[], ?::text[])
                            with ordinality r (run, line, millis, value, dilution, position, at_offset, role, identity,
                                               channel, quantity, unit, place)
                        order by place
                        """,
                OneTrip.integers(run),
                OneTrip.integers(line),
                OneTrip.longs(at),
                OneTrip.numbers(value),
                OneTrip.numbers(dilution),
                OneTrip.integers(position),
                OneTrip.integers(offset),
                OneTrip.texts(role),
                OneTrip.texts(identity),
                OneTrip.texts(channel),
                OneTrip.texts(quantity),
                OneTrip.texts(unit));
    }

    public static void copy(CopyRows rows, int run, Readings readings) throws SQLException {
        copy(rows, run, 0, readings);
    }

    private static void copy(CopyRows rows, int run, int after, Readings readings) throws SQLException {
        byte[][] roles = utf8(List.of(Role.values()), Role::word);
        byte[][] units = utf8(List.of(Unit.values()), Unit::ucum);
        byte[][] identities = utf8(readings.identities(), Function.identity());
        byte[][] channels = utf8(readings.channels(), Function.identity());
        byte[][] quantities = utf8(readings.quantities(), Function.identity());
        for (int i = 0; i < readings.size(); i++) {
            rows.row(INTO.size())
                    .integer(run)
                    .integer(after + i + 1)
                    .timeMillis(readings.atMillis(i))
                    .number(readings.value(i))
                    .number(readings.dilution(i))
                    .integer(readings.position(i))
                    .integer(readings.offsetSeconds(i))
                    .bytes(roles[readings.role(i).ordinal()])
                    .bytes(identities[readings.identityCode(i)])
                    .bytes(channels[readings.channelCode(i)])
                    .bytes(quantities[readings.quantityCode(i)])
                    .bytes(units[readings.unit(i).ordinal()]);
        }
    }

    private static <T> byte[][] utf8(List<T> values, Function<T, String> text) {
        return values.stream()
                .map(value -> text.apply(value).getBytes(StandardCharsets.UTF_8))
                .toArray(byte[][]::new);
    }

    /**
     * Runs with their readings.
     *
     * @param where a condition on the run {@code t}, without parameters
     */
    public static List<Run> load(Handle handle, String where) throws SQLException {
        return load(handle, where, Map.of()).stream().map(Stored::run).toList();
    }

    /**
     * A run and the digest that is stored beside it.
     */
    record Stored(String digest, Run run) {}

    /**
     * {@link #load(Handle, String)} without reading what is known already: the readings of a run never change once they are stored.
     *
     * @param known runs that were read before, by the digest stored beside them
     */
    static List<Stored> load(Handle handle, String where, Map<String, Run> known) throws SQLException {
        record Head(int id, int readings, String digest, Run withoutReadings) {
            boolean isOf(@Nullable Run run) {
                return run != null && run.readings().size() == readings && run.equals(with(run.readings()));
            }

            Run with(Readings its) {
                return withoutReadings.with(its);
            }
        }
        List<Head> heads = RecordTables.RUN.values(
                handle.getConnection(),
                "t.id, t.readings, t.sha256,",
                "where " + where + " order by t.id",
                row -> new Head(
                        row.integer(),
                        row.integer(),
                        row.text(),
                        RecordTables.RUN.read().of(row)));
        Map<Integer, Readings> readings = readings(
                handle,
                heads.stream()
                        .filter(head -> !head.isOf(known.get(head.digest())))
                        .map(Head::id)
                        .toList());
        List<Stored> runs = new ArrayList<>();
        for (Head head : heads) {
            Run before = known.get(head.digest());
            if (before != null && head.isOf(before)) {
                runs.add(new Stored(head.digest(), before));
                continue;
            }
            Run run = head.withoutReadings();
            Readings found = readings.getOrDefault(head.id(), run.readings());
            if (found.size() != head.readings()) {
                throw new IllegalStateException("run " + run.run() + " was stored with " + head.readings()
                        + " readings, the database holds " + found.size() + ": restore it from a backup");
            }
            runs.add(new Stored(head.digest(), head.with(found)));
        }
        return runs;
    }

    /** The head of a run, ended or under way, without its readings; empty when there is none. */
    public static Optional<Run> head(Handle handle, int id) throws SQLException {
        String where = "where t.id = " + id;
        List<Run> heads = new ArrayList<>(RecordTables.RUN.values(handle.getConnection(), where));
        RecordTables.UNDER_WAY.values(handle.getConnection(), where).forEach(run -> heads.add(run.underWay(true)));
        return heads.stream().findFirst();
    }

    /** A run of which more is to come, and how much of it is stored. */
    private record UnderWay(int id, int readings, Run head, Readings before) {
        static String digest(int id, int count) {
            return "under way " + id + " " + count;
        }

        String digest() {
            return digest(id, readings);
        }
    }

    /**
     * The runs of a day of which more is to come. The digest of each says which run it is and how much of it was read. Two round trips and no
     * transaction are enough: what is stored of a run is never changed, and what is added meanwhile is left for the next time.
     *
     * @param which a condition on the day {@code d}, with one parameter
     * @param known runs that were read before, by that digest; what is new of them is read
     */
    static List<Stored> underWay(Handle handle, String which, Object parameter, Map<String, Run> known)
            throws SQLException {
        List<UnderWay> all = new ArrayList<>();
        OneTrip trip = new OneTrip();
        trip.ask(
                row -> {
                    int id = row.getInt("id");
                    int readings = row.getInt("readings");
                    Run head = headUnderWay(row);
                    all.add(new UnderWay(id, readings, head, before(id, readings, head, known)));
                },
                "select t.id, t.readings, " + RecordTables.UNDER_WAY.ofT()
                        + " from reading.under_way t join intake.day d on d.id = t.day where " + which
                        + " order by t.id",
                parameter);
        trip.send(handle);
        Map<Integer, Readings> fresh = fresh(handle, trip, all);
        List<Stored> runs = new ArrayList<>();
        for (UnderWay one : all) {
            Readings its =
                    one.before().and(fresh.getOrDefault(one.id(), one.head().readings()));
            if (its.size() != one.readings()) {
                throw new IllegalStateException("run " + one.head().run() + " was stored with " + one.readings()
                        + " readings, the database holds " + its.size() + ": restore it from a backup");
            }
            Run same = known.get(one.digest());
            runs.add(new Stored(
                    one.digest(),
                    same != null && one.before().size() == one.readings()
                            ? same
                            : one.head().with(its)));
        }
        return runs;
    }

    /** The head of a run under way, from a row of its table. */
    public static Run headUnderWay(ResultSet row) throws SQLException {
        return new Run(
                row.getString("run"),
                row.getString("method"),
                row.getString("instrument"),
                Optional.ofNullable(row.getString("operator")),
                Days.at(row.getObject("started_at", OffsetDateTime.class).toInstant(), row.getInt("started_offset")),
                Readings.builder().build(),
                true);
    }

    private static Readings before(int id, int readings, Run head, Map<String, Run> known) {
        return known.values().stream()
                .filter(run -> run.underWay()
                        && run.equals(head.with(run.readings()))
                        && run.readings().size() <= readings
                        && run == known.get(UnderWay.digest(id, run.readings().size())))
                .map(Run::readings)
                .findFirst()
                .orElseGet(head::readings);
    }

    private static Map<Integer, Readings> fresh(Handle handle, OneTrip trip, List<UnderWay> all) throws SQLException {
        List<UnderWay> more =
                all.stream().filter(one -> one.before().size() < one.readings()).toList();
        if (more.isEmpty()) {
            return Map.of();
        }
        Map<Integer, Readings.Builder> builders = new HashMap<>();
        more.forEach(one -> builders.put(one.id(), Readings.builder()));
        // Until the table is analysed for the first time the planner does not know that the index pays.
        trip.add("select set_config('enable_seqscan', 'off', true)");
        trip.ask(
                row -> {
                    Readings.Builder run = builders.get(row.getInt("run"));
                    if (run != null) {
                        run.add(
                                row.getInt("position"),
                                Role.of(row.getString("role")).orElseThrow(),
                                row.getString("identity"),
                                row.getString("channel"),
                                row.getString("quantity"),
                                row.getDouble("value"),
                                Days.unit(row.getString("unit")),
                                row.getObject("at", OffsetDateTime.class)
                                        .toInstant()
                                        .toEpochMilli(),
                                row.getInt("at_offset"),
                                row.getDouble("dilution"));
                    }
                },
                "select " + String.join(", ", INTO) + " from reading.reading where "
                        + more.stream()
                                .map(one -> "run = " + one.id() + " and line > "
                                        + one.before().size() + " and line <= " + one.readings())
                                .collect(Collectors.joining(" or "))
                        + " order by run, line");
        trip.send(handle);
        Map<Integer, Readings> fresh = new HashMap<>();
        builders.forEach((id, builder) -> fresh.put(id, builder.build()));
        return fresh;
    }

    /** Readings by run; the ids ascending. */
    public static Map<Integer, Readings> readings(Handle handle, List<Integer> runs) throws SQLException {
        if (runs.isEmpty()) {
            return Map.of();
        }
        // Until the table is analysed for the first time the planner does not know that the index pays.
        handle.execute("set local enable_seqscan = off");
        Map<Integer, InOrder> inOrder = new HashMap<>();
        runs.forEach(run -> inOrder.put(run, new InOrder()));
        try (CopiedRows rows = new CopiedRows(
                handle.getConnection(),
                "select run, line, position, role, identity, channel, quantity, value, unit, at, at_offset, dilution"
                        + " from reading.reading where " + ranges(runs))) {
            CopiedRows.Names names = new CopiedRows.Names();
            while (rows.next()) {
                InOrder run = inOrder.get(rows.integer());
                if (run != null) {
                    run.take(rows, names);
                }
            }
        }
        Map<Integer, Readings> readings = new HashMap<>();
        inOrder.forEach((run, all) -> readings.put(run, all.build()));
        return readings;
    }

    /** Runs taken together lie together: asked for in one range each time. */
    private static String ranges(List<Integer> runs) {
        List<String> ranges = new ArrayList<>();
        int first = 0;
        for (int i = 1; i <= runs.size(); i++) {
            if (i == runs.size() || runs.get(i) != runs.get(i - 1) + 1) {
                ranges.add("run between " + runs.get(first) + " and " + runs.get(i - 1));
                first = i;
            }
        }
        return String.join(" or ", ranges);
    }

    /**
     * The readings of a run, put in order. Rows lie nearly as they came, here and there a page early or late; sorting them
     * all in the database would go by way of the disk.
     */
    private static final class InOrder {
        private final Readings.Builder readings = Readings.builder();
        private final Map<Integer, ByteBuffer> early = new HashMap<>();
        private int next = 1;

        void take(CopiedRows rows, CopiedRows.Names names) {
            int line = rows.integer();
            if (line != next) {
                early.put(line, rows.keep());
                return;
            }
            add(rows, names);
            for (ByteBuffer kept = early.remove(next); kept != null; kept = early.remove(next)) {
                rows.turnTo(kept);
                add(rows, names);
            }
        }

        Readings build() {
            if (!early.isEmpty()) {
                throw new IllegalStateException(
                        "the database has lost reading " + next + " of a run: restore it from a backup");
            }
            return readings.build();
        }

        private void add(CopiedRows rows, CopiedRows.Names names) {
            readings.add(
                    rows.integer(),
                    Role.of(rows.text(names)).orElseThrow(),
                    rows.text(names),
                    rows.text(names),
                    rows.text(names),
                    rows.number(),
                    Days.unit(rows.text(names)),
                    rows.timeMillis(),
                    rows.integer(),
                    rows.number());
            next++;
        }
    }
}
