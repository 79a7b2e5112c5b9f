package org.tenmesh.store.labels;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Which labels were printed, by whom, when and, for a second time, why. May be used by several threads. */
public final class Printings {
    /** The word in the journal. */
    public static final String ENTRY = "labels-printed";

    private static final int MOST_NAMED = 3;

    private final Jdbi app;
    private final Journal journal;

    public Printings(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * Keeps that labels are printed, and counts which of them were before: the same kind and day, the same text.
     *
     * @param reason why those that were printed before are printed again; not kept where none was
     * @return as it is kept
     * @throws Refused where one was printed before and no reason is given
     */
    public Printing print(String kind, String ofDay, List<String> labels, String reason, String actor, Instant at) {
        return app.inTransaction(handle -> {
            handle.execute("select pg_advisory_xact_lock(hashtext('layout.printed'))");
            List<Printing> before = before(handle, kind, ofDay, labels);
            Set<String> known = new HashSet<>();
            before.forEach(one -> known.addAll(one.labels()));
            List<String> again = labels.stream().filter(known::contains).toList();
            if (!again.isEmpty() && reason.isBlank()) {
                throw new Refused(again(labels.size(), again, before.get(0)));
            }
            Printing now = new Printing(
                    kind,
                    ofDay,
                    labels,
                    again.size(),
                    again.isEmpty() ? "" : reason.strip(),
                    actor,
                    at.truncatedTo(ChronoUnit.MILLIS));
            long id = handle.createUpdate("""
                            insert into layout.printed (kind, of_day, labels, again, reason, actor, at)
                            values (:kind, :ofDay, :labels, :again, :reason, :actor, :at)
                            """)
                    .bind("kind", now.kind())
                    .bind("ofDay", now.ofDay())
                    .bindArray("labels", String.class, now.labels())
                    .bind("again", now.again())
                    .bind("reason", now.reason())
                    .bind("actor", now.actor())
                    .bind("at", now.at().atOffset(ZoneOffset.UTC))
                    .executeAndReturnGeneratedKeys("id")
                    .mapTo(Long.class)
                    .one();
            journal.write(
                    handle,
                    now.at(),
                    actor,
                    ENTRY,
                    kind,
                    Json.object(
                            "id", id,
                            "labels", labels.size(),
                            "first", labels.get(0),
                            "again", now.again(),
                            "reason", now.reason(),
                            "sha256", sha256(now)));
            return now;
        });
    }

    private static String again(int all, List<String> again, Printing last) {
        String some = String.join(", ", again.subList(0, Math.min(MOST_NAMED, again.size())))
                + (again.size() > MOST_NAMED ? " and " + (again.size() - MOST_NAMED) + " more" : "");
        return again.size() + " of " + all + (all == 1 ? " label was" : " labels were") + " printed before (" + some
                + "), last by " + last.actor()
                + ". A label that exists twice can put two soils under one number: say why it is printed again, and destroy the old one";
    }

    /** Printings in which one of these was, the newest first. */
    private static List<Printing> before(Handle handle, String kind, String ofDay, List<String> labels) {
        return handle.createQuery("""
                        select * from layout.printed
                        where kind = :kind and of_day = :ofDay and labels && cast(:labels as text[]) order by id desc
                        """)
                .bind("kind", kind)
                .bind("ofDay", ofDay)
                .bindArray("labels", String.class, labels)
                .map((rs, ctx) -> read(rs))
                .list();
    }

    /** The newest of these kinds, the newest first. */
    public List<Printing> newest(Set<String> kinds, int most) {
        return app.withHandle(handle -> handle.createQuery(
                        "select * from layout.printed where kind = any(:kinds) order by id desc limit :most")
                .bindArray("kinds", String.class, new ArrayList<>(kinds))
                .bind("most", most)
                .map((rs, ctx) -> read(rs))
                .list());
    }

    /** What the journal must say of each, oldest first: number, digest, person and moment. */
    public static List<String> kept(Handle handle) {
        return handle.createQuery("select * from layout.printed order by id")
                .map((rs, ctx) -> rs.getLong("id") + ", digest " + sha256(read(rs)))
                .list();
    }

    private static String sha256(Printing one) {
        return new Sha256()
                .text(one.kind())
                .text(one.ofDay())
                .texts(one.labels())
                .number(one.again())
                .text(one.reason())
                .text(one.actor())
                .number(one.at().toEpochMilli())
                .hex();
    }

    private static Printing read(ResultSet rs) throws SQLException {
        return new Printing(
                rs.getString("kind"),
                rs.getString("of_day"),
                Arrays.asList((String[]) rs.getArray("labels").getArray()),
                rs.getInt("again"),
                rs.getString("reason"),
                rs.getString("actor"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    /** Tells the journal that somebody printed the sealed layout of a day. */
    public void layoutSheet(String day, String actor, Instant at) {
        app.useTransaction(handle -> journal.write(handle, at, actor, "layout-sheet-printed", day, Json.object()));
    }
}
