package org.tenmesh.store.journal;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HexFormat;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.Stream;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.mapper.RowMapper;
import org.jdbi.v3.core.statement.Query;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.jspecify.annotations.Nullable;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.OneTrip;

/** The append-only record: each entry's hash is taken over the hash before it. */
public final class Journal {
    /** The channel on which the database tells of every new entry: what happened, a blank, the entry's number. */
    public static final String CHANNEL = "tenmesh";

    /** What stands before the first entry. */
    public static final String START = "0".repeat(64);

    /** What is written when the clock stands before the newest entry. */
    public static final String CLOCK_SET_BACK = "clock-set-back";

    private static final String PROGRAM = "Tenmesh";
    /** Clocks are corrected by less than this all the time. */
    private static final int CLOCK_SECONDS = 5;

    private static final RowMapper<JournalEntry> ENTRY = (rs, ctx) -> new JournalEntry(
            rs.getLong("seq"),
            rs.getObject("at", OffsetDateTime.class).toInstant(),
            rs.getString("actor"),
            rs.getString("what"),
            rs.getString("subject"),
            rs.getString("detail"),
            rs.getString("previous_sha256"),
            rs.getString("sha256"));

    private static final String DETAIL = """
            array(select key from json_each_text(e.detail::json) with ordinality d (key, value, place) order by place) as names,
            array(select coalesce(value, '') from json_each_text(e.detail::json) with ordinality d (key, value, place)
                order by place) as says
            """;

    /** The newest entry. */
    public record Head(long seq, String sha256) {}

    private final Jdbi app;

    public Journal(Jdbi app) {
        this.app = app;
    }

    /**
     * Writes the next entry inside the handle's transaction. Call it last: until that transaction ends nobody else can
     * write to the journal.
     *
     * @param detail canonical JSON object; never names a hidden control
     */
    public JournalEntry write(Handle handle, Instant at, String actor, String what, String subject, String detail) {
        return write(handle, new OneTrip(), at, actor, what, subject, detail);
    }

    /** The same with statements that have still to go to the database: they go before it, with the question for the newest entry. */
    public JournalEntry write(
            Handle handle, OneTrip before, Instant at, String actor, String what, String subject, String detail) {
        return append(handle, lookAtTheClock(handle, before), at, actor, what, subject, detail);
    }

    /**
     * Writes an entry where the clock of the database stands before the time at which the newest entry was written: it was set back. The
     * time that an entry names is not asked, because what came by other clocks names theirs.
     *
     * @return the newest entry, held until the transaction ends
     */
    public Head lookAtTheClock(Handle handle) {
        return lookAtTheClock(handle, new OneTrip());
    }

    private Head lookAtTheClock(Handle handle, OneTrip trip) {
        record Clocked(Head head, @Nullable OffsetDateTime written, OffsetDateTime now) {}
        List<Clocked> heads = new ArrayList<>();
        trip.ask(
                row -> heads.add(new Clocked(
                        new Head(row.getLong(1), row.getString(2)),
                        row.getObject(3, OffsetDateTime.class),
                        row.getObject(4, OffsetDateTime.class))),
                "select seq, sha256, written_at, clock_timestamp() as now from journal.head for update");
        send(handle, trip);
        Clocked clocked = heads.get(0);
        OffsetDateTime written = clocked.written();
        if (written == null || !written.minusSeconds(CLOCK_SECONDS).isAfter(clocked.now())) {
            return clocked.head();
        }
        JournalEntry entry = append(
                handle,
                clocked.head(),
                clocked.now().toInstant(),
                PROGRAM,
                CLOCK_SET_BACK,
                "clock",
                Json.object(
                        "newest-entry-written-at",
                        written.toInstant().toString(),
                        "clock-says",
                        clocked.now().toInstant().toString(),
                        "seconds",
                        written.toEpochSecond() - clocked.now().toEpochSecond()));
        return new Head(entry.seq(), entry.sha256());
    }

    private static void send(Handle handle, OneTrip trip) {
        try {
            trip.send(handle);
        } catch (SQLException failed) {
            throw new UnableToExecuteStatementException(
                    "the journal could not be written: " + failed.getMessage(), failed, null);
        }
    }

    /**
     * Waits until nobody else writes to the journal, and keeps it until the transaction ends: what is stored after this stands in the order of
     * the journal. For what people do; many readings a second do not wait for each other.
     */
    public void hold(Handle handle) {
        handle.createQuery("select seq from journal.head for update")
                .mapTo(Long.class)
                .one();
    }

    private static JournalEntry append(
            Handle handle, Head head, Instant at, String actor, String what, String subject, String detail) {
        JournalEntry open = new JournalEntry(
                head.seq() + 1, at.truncatedTo(ChronoUnit.MILLIS), actor, what, subject, detail, head.sha256(), "");
        String sha256 = chain(head.sha256(), open.canonical());
        JournalEntry entry =
                new JournalEntry(open.seq(), open.at(), actor, what, subject, detail, open.previousSha256(), sha256);
        OneTrip trip = new OneTrip();
        trip.add(
                """
                insert into journal.entry (seq, at, actor, what, subject, detail, previous_sha256, sha256)
                values (?, ?, ?, ?, ?, ?, ?, ?)
                """,
                entry.seq(),
                entry.at().atOffset(ZoneOffset.UTC),
                actor,
                what,
                subject,
                detail,
                entry.previousSha256(),
                sha256);
        trip.add("update journal.head set seq = ?, sha256 = ?, written_at = clock_timestamp()", entry.seq(), sha256);
        // Whoever listens is told when the transaction has ended well; who was not told finds the entry by its number.
        trip.add("select pg_notify('" + CHANNEL + "', ?)", what + " " + entry.seq());
        send(handle, trip);
        return entry;
    }

    public JournalEntry note(Instant at, String actor, String what, String subject, String detail) {
        return app.inTransaction(handle -> write(handle, at, actor, what, subject, detail));
    }

    public List<JournalEntry> newest(int most) {
        return app.withHandle(handle -> handle.createQuery("select * from journal.entry order by seq desc limit :most")
                .bind("most", most)
                .map(ENTRY)
                .list());
    }

    /** A part of what is asked for, newest first, at most so many entries of it. */
    public JournalReading read(JournalQuestion asked, int most) {
        return app.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
            List<JournalLine> lines = asked(handle, "select e.*, " + DETAIL + " from journal.entry e", asked)
                    .bind("most", most)
                    .map((rs, ctx) -> new JournalLine(
                            ENTRY.map(rs, ctx),
                            detail((String[]) rs.getArray("names").getArray(), (String[])
                                    rs.getArray("says").getArray())))
                    .list();
            long count = asked(handle, "select count(*) from journal.entry e", asked.before(Optional.empty()))
                    .mapTo(Long.class)
                    .one();
            return new JournalReading(lines, count, distinct(handle, "actor"), distinct(handle, "what"));
        });
    }

    private static Query asked(Handle handle, String select, JournalQuestion asked) {
        boolean counts = select.startsWith("select count");
        return handle.createQuery(select + """
                         where (:actor::text is null or e.actor = :actor)
                           and (:what::text is null or e.what = :what)
                           and position(lower(:about) in lower(e.subject)) > 0
                           and (:from::timestamptz is null or e.at >= :from)
                           and (:until::timestamptz is null or e.at < :until)
                           and (:before::bigint is null or e.seq < :before)
                        """ + (counts ? "" : " order by e.seq desc limit :most"))
                .bind("actor", asked.actor().orElse(null))
                .bind("what", asked.what().orElse(null))
                .bind("about", asked.about())
                .bind(
                        "from",
                        asked.from().map(at -> at.atOffset(ZoneOffset.UTC)).orElse(null))
                .bind(
                        "until",
                        asked.until().map(at -> at.atOffset(ZoneOffset.UTC)).orElse(null))
                .bind("before", asked.before().orElse(null));
    }

    private static Map<String, String> detail(String[] names, String[] says) {
        Map<String, String> detail = new LinkedHashMap<>();
        for (int i = 0; i < names.length; i++) {
            detail.put(names[i], says[i]);
        }
        return Collections.unmodifiableMap(detail);
    }

    private static List<String> distinct(Handle handle, String column) {
        return handle.createQuery("select distinct " + column + " from journal.entry order by 1")
                .mapTo(String.class)
                .list();
    }

    /** Whether an entry has this hash. */
    public boolean holds(String sha256) {
        return sha256.equals(START)
                || app.withHandle(
                        handle -> handle.createQuery("select exists (select from journal.entry where sha256 = :sha256)")
                                .bind("sha256", sha256)
                                .mapTo(Boolean.class)
                                .one());
    }

    /** The newest entry, to be kept outside the database. */
    public Anchor anchor() {
        return app.withHandle(handle -> handle.createQuery("""
                        select h.seq, h.sha256, coalesce(e.at, 'epoch') as at
                        from journal.head h left join journal.entry e on e.seq = h.seq
                        """)
                .map((rs, ctx) -> new Anchor(
                        rs.getLong("seq"),
                        rs.getString("sha256"),
                        rs.getObject("at", OffsetDateTime.class).toInstant()))
                .one());
    }

    /** What anchors that were kept elsewhere find: a sentence for each that the journal does not hold. */
    public List<String> against(List<Anchor> anchors) {
        return app.withHandle(handle -> anchors.stream()
                .filter(anchor -> anchor.seq() > 0)
                .flatMap(anchor -> {
                    Optional<String> now = handle.createQuery("select sha256 from journal.entry where seq = :seq")
                            .bind("seq", anchor.seq())
                            .mapTo(String.class)
                            .findOne();
                    if (now.isEmpty()) {
                        return Stream.of("the anchor " + anchor.shortForm() + " names entry " + anchor.seq()
                                + ", which is gone: the newest entries, and what they record, were cut off or lost");
                    }
                    return now.get().startsWith(anchor.sha256())
                            ? Stream.empty()
                            : Stream.of(
                                    "entry " + anchor.seq() + " is not the one that the anchor " + anchor.shortForm()
                                            + " names: the journal was written anew, or is another laboratory's");
                })
                .toList());
    }

    public JournalCheck verify() {
        return app.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
            Head head = handle.createQuery("select seq, sha256 from journal.head")
                    .map((rs, ctx) -> new Head(rs.getLong(1), rs.getString(2)))
                    .findOne()
                    .orElse(new Head(-1, ""));
            try (var entries = handle.createQuery("select * from journal.entry order by seq")
                    .setFetchSize(1000)
                    .map(ENTRY)
                    .iterator()) {
                return verify(entries, head.seq(), head.sha256());
            }
        });
    }

    static JournalCheck verify(Iterator<JournalEntry> entries, long headSeq, String headSha256) {
        String previous = START;
        long count = 0;
        while (entries.hasNext()) {
            JournalEntry entry = entries.next();
            long expected = count + 1;
            if (entry.seq() != expected) {
                return broken(
                        count, previous, expected, "entry " + expected + " is gone, entry " + entry.seq() + " follows");
            }
            if (!entry.previousSha256().equals(previous)) {
                return broken(
                        count, previous, expected, "entry " + expected + " does not follow on the entry before it");
            }
            if (!entry.sha256().equals(chain(previous, entry.canonical()))) {
                return broken(count, previous, expected, "entry " + expected + " was changed after it was written");
            }
            previous = entry.sha256();
            count++;
        }
        if (headSeq != count || !headSha256.equals(previous)) {
            return broken(
                    count,
                    previous,
                    count + 1,
                    headSeq > count
                            ? "the journal ends with entry " + count + ", entry " + headSeq + " had been written"
                            : "the journal's head does not fit its last entry " + count);
        }
        return new JournalCheck(
                count, previous, OptionalLong.empty(), count + " entries, every one fits; head " + previous);
    }

    private static JournalCheck broken(long good, String head, long at, String finding) {
        return new JournalCheck(good, head, OptionalLong.of(at), finding);
    }

    /** SHA-256 (FIPS 180-4) over the previous hash as text followed by the canonical text, both UTF-8. */
    public static String chain(String previousSha256, String canonical) {
        return sha256(previousSha256 + canonical);
    }

    /** SHA-256 (FIPS 180-4) over the text in UTF-8, 64 lower-case hexadecimal digits. */
    public static String sha256(String text) {
        try {
            return HexFormat.of()
                    .formatHex(MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8)));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
