package org.tenmesh.store.days;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;
import org.tenmesh.store.rows.Ids;

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
        try (CopyRows rows = new CopyRows(connection, "reading.reading (" + String.join(", ", INTO) + ")")) {
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
     * Adds readings to a run under way.
     *
     * @param id of the run
     * @param after how many it has
     * @param part of the run, with the readings that follow
     * @param fresh what of it the run had not read before
     */
    public static void append(Handle handle, int id, int after, Run part, List<String> fresh) throws SQLException {
        Connection connection = handle.getConnection();
        if (!fresh.isEmpty()) {
            try (CopyRows rows = new CopyRows(connection, "reading.identity (run, identity)")) {
                for (String identity : fresh) {
                    rows.row(2).integer(id).text(identity);
                }
                rows.end();
            }
        }
        if (part.readings().size() > 0) {
            try (CopyRows rows = new CopyRows(connection, "reading.reading (" + String.join(", ", INTO) + ")")) {
                copy(rows, id, after, part.readings());
                rows.end();
            }
        }
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

    /**
     * The runs of a day of which more is to come. The digest of each says which run it is and how much of it was read.
     *
     * @param known runs that were read before, by that digest; what is new of them is read
     */
    static List<Stored> underWay(Handle handle, int day, Map<String, Run> known) throws SQLException {
        record Head(int id, int readings, Run head) {
            String digest(int count) {
                return "under way " + id + " " + count;
            }
        }
        List<Head> heads = RecordTables.UNDER_WAY.values(
                handle.getConnection(),
                "t.id, t.readings,",
                "where t.day = " + day + " order by t.id",
                row -> new Head(
                        row.integer(),
                        row.integer(),
                        RecordTables.RUN.read().of(row).underWay(true)));
        List<Stored> runs = new ArrayList<>();
        for (Head head : heads) {
            Readings before = known.values().stream()
                    .filter(run -> run.underWay()
                            && run.equals(head.head().with(run.readings()))
                            && run.readings().size() <= head.readings()
                            && run == known.get(head.digest(run.readings().size())))
                    .map(Run::readings)
                    .findFirst()
                    .orElseGet(() -> head.head().readings());
            Readings all = before.size() == head.readings()
                    ? before
                    : before.and(readings(handle, List.of(head.id()), before.size())
                            .getOrDefault(head.id(), head.head().readings()));
            if (all.size() != head.readings()) {
                throw new IllegalStateException("run " + head.head().run() + " was stored with " + head.readings()
                        + " readings, the database holds " + all.size() + ": restore it from a backup");
            }
            Run same = known.get(head.digest(head.readings()));
            runs.add(new Stored(
                    head.digest(head.readings()),
                    same != null && before.size() == head.readings()
                            ? same
                            : head.head().with(all)));
        }
        return runs;
    }

    /** Readings by run; the ids ascending. */
    public static Map<Integer, Readings> readings(Handle handle, List<Integer> runs) throws SQLException {
        return readings(handle, runs, 0);
    }

    /** @param after how many readings of each are left out */
    private static Map<Integer, Readings> readings(Handle handle, List<Integer> runs, int after) throws SQLException {
        if (runs.isEmpty()) {
            return Map.of();
        }
        // Until the table is analysed for the first time the planner does not know that the index pays.
        handle.execute("set local enable_seqscan = off");
        Map<Integer, InOrder> inOrder = new HashMap<>();
        runs.forEach(run -> inOrder.put(run, new InOrder(after)));
        try (CopiedRows rows = new CopiedRows(
                handle.getConnection(),
                "select run, line, position, role, identity, channel, quantity, value, unit, at, at_offset, dilution"
                        + " from reading.reading where " + (after == 0 ? "" : "line > " + after + " and ") + "("
                        + ranges(runs) + ")")) {
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
        private int next;

        InOrder(int after) {
            next = after + 1;
        }

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
