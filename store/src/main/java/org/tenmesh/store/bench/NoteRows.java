package org.tenmesh.store.bench;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Subject;

/** Rows of what was noted at the bench. */
public final class NoteRows {
    /** What {@link #act} reads, of {@code bench.act a}. */
    public static final String COLUMNS = """
            select a.id, coalesce(d.name, '') as day, a.kind, a.code, a.step, a.what, a.about, a.told, a.person, a.device, a.device_at,
                   a.stored_at, a.measured
            from bench.act a left join intake.day d on d.id = a.day
            """;

    /** How far back notes about racks and mills are looked at when another comes. The verification looks at all. */
    public static final Duration BACK = Duration.ofDays(400);

    private NoteRows() {}

    /** A row as a value. */
    public static BenchAct act(ResultSet rs) throws SQLException {
        return new BenchAct(
                rs.getString("id"),
                new Subject(kind(rs.getString("kind")), rs.getString("day"), rs.getString("code")),
                rs.getString("step"),
                what(rs.getString("what")),
                rs.getString("about"),
                rs.getString("told"),
                rs.getString("person"),
                rs.getString("device"),
                rs.getObject("device_at", OffsetDateTime.class).toInstant(),
                rs.getObject("stored_at", OffsetDateTime.class).toInstant(),
                measured(rs.getString("measured")));
    }

    /** Everything that was noted of racks and mills since a moment, or ever, in the order in which it was stored. */
    public static List<BenchAct> racks(Handle handle, Optional<Instant> since) {
        return handle.createQuery(
                        COLUMNS
                                + " where a.day is null and (cast(:since as timestamptz) is null or a.stored_at >= :since) order by a.seq")
                .bind("since", since.map(one -> one.atOffset(ZoneOffset.UTC)).orElse(null))
                .map((rs, ctx) -> act(rs))
                .list();
    }

    /** The submissions that were put on a rack since a moment. */
    public static Set<String> submissions(Handle handle, String rack, Instant since) {
        return handle.createQuery(
                        "select distinct about from bench.act where code = :rack and what = 'loaded' and stored_at >= :since")
                .bind("rack", rack)
                .bind("since", since.atOffset(ZoneOffset.UTC))
                .mapTo(String.class)
                .set();
    }

    /** The notes about racks and mills that were kept since the account of regulated soil follows them. */
    public static Set<String> followed(Handle handle) {
        return handle.createQuery("select id from bench.act where day is null and seq > custody.followed_after()")
                .mapTo(String.class)
                .set();
    }

    private static Map<Measure, Double> measured(String text) {
        Map<Measure, Double> measured = new EnumMap<>(Measure.class);
        for (String one : text.isEmpty() ? new String[0] : text.split(", ", -1)) {
            String[] parts = one.split(" ", 2);
            measured.put(Measure.of(parts[0]).orElseThrow(), Double.valueOf(parts[1]));
        }
        return measured;
    }

    private static Subject.Kind kind(String word) {
        return Arrays.stream(Subject.Kind.values())
                .filter(kind -> kind.word().equals(word))
                .findFirst()
                .orElseThrow();
    }

    private static BenchAct.What what(String word) {
        return Arrays.stream(BenchAct.What.values())
                .filter(what -> what.word().equals(word))
                .findFirst()
                .orElseThrow();
    }
}
