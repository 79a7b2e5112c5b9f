package org.tenmesh.store.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BiFunction;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/**
 * Lists of areas and permits in versions. A draft decides nothing; what somebody signed decides from its day on, until a later version does. May
 * be used by several threads.
 */
public final class Papers {
    /** The word in the journal for a version that was drafted. */
    public static final String DRAFTED = "custody-drafted";

    /** The word in the journal for a version that was signed. */
    public static final String SIGNED = "custody-signed";

    private static final int LONGEST = 500;

    /** What a version is of. */
    public enum Kind {
        AREAS("areas"),
        PERMIT("permit");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in the database, in the journal and in addresses. */
        public String word() {
            return word;
        }
    }

    private record Row(
            int paper,
            String name,
            int version,
            String reason,
            String by,
            Instant at,
            Optional<Draft.Signature> signature) {}

    private final Jdbi app;
    private final Journal journal;

    public Papers(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * Keeps a new version of a list, not yet in force.
     *
     * @param seen the version that was looked at; 0 for a list that is new
     * @return its version
     * @throws Refused without a reason, or where somebody else drafted one meanwhile
     */
    public int draft(AreaList list, int seen, String reason, String actor, Instant at) {
        return app.inTransaction(handle -> {
            Row row = version(handle, Kind.AREAS, list.name(), seen, reason, actor, at);
            PaperRows.insert(handle, row.paper(), row.version(), list);
            journal(handle, Kind.AREAS, row, PaperRows.sha256(list));
            return row.version();
        });
    }

    /** Keeps a new version of a permit, not yet in force, like {@link #draft(AreaList, int, String, String, Instant)}. */
    public int draft(Permit permit, int seen, String reason, String actor, Instant at) {
        return app.inTransaction(handle -> {
            Row row = version(handle, Kind.PERMIT, permit.number(), seen, reason, actor, at);
            PaperRows.insert(handle, row.paper(), row.version(), permit);
            journal(handle, Kind.PERMIT, row, PaperRows.sha256(permit));
            return row.version();
        });
    }

    /**
     * Signs a version, so that it decides from a day on.
     *
     * @param from first day; not before today, so that nothing that was decided changes
     * @param today the laboratory's date
     * @throws Refused where there is no such version, it is signed already or a later one is, or the day has passed
     */
    public void sign(Kind kind, String name, int version, LocalDate from, LocalDate today, String actor, Instant at) {
        if (from.isBefore(today)) {
            throw new Refused("It can decide from today (" + today + ") on and not from " + from
                    + ": what was decided on earlier days stays. Nothing was signed.");
        }
        app.useTransaction(handle -> {
            lock(handle);
            Row row = rows(handle, kind).stream()
                    .filter(one -> one.name().equals(name) && one.version() == version)
                    .findFirst()
                    .orElseThrow(() ->
                            new Refused("There is no version " + version + " of " + name + ". Nothing was signed."));
            if (rows(handle, kind).stream()
                    .anyMatch(one -> one.name().equals(name)
                            && one.version() >= version
                            && one.signature().isPresent())) {
                throw new Refused(
                        "Version " + version + " of " + name
                                + " or a later one is signed already. Draft a new version to go back to what it says. Nothing was signed.");
            }
            handle.createUpdate("""
                            insert into custody.signature (paper, version, signed_by, at, from_day)
                            values (:paper, :version, :actor, :at, :from)
                            """)
                    .bind("paper", row.paper())
                    .bind("version", version)
                    .bind("actor", actor)
                    .bind("at", millis(at))
                    .bind("from", from)
                    .execute();
            journal.write(
                    handle,
                    at,
                    actor,
                    SIGNED,
                    kind.word() + "/" + name,
                    Json.object("version", version, "from", from.toString()));
        });
    }

    /** Every version of every list, the newest of a list first. */
    public List<Draft<AreaList>> areaLists() {
        return app.withHandle(Papers::areaLists);
    }

    /** The same within a transaction. */
    public static List<Draft<AreaList>> areaLists(Handle handle) {
        return drafts(handle, Kind.AREAS, (row, h) -> PaperRows.areaList(h, row.paper(), row.version(), row.name()));
    }

    /** Every version of every permit, the newest of a permit first. */
    public List<Draft<Permit>> permits() {
        return app.withHandle(Papers::permits);
    }

    /** The same within a transaction. */
    public static List<Draft<Permit>> permits(Handle handle) {
        return drafts(handle, Kind.PERMIT, (row, h) -> PaperRows.permit(h, row.paper(), row.version(), row.name()));
    }

    /** What was signed of lists of areas, for {@link org.tenmesh.core.custody.Areas#inForce}. */
    public List<Signed<AreaList>> signedAreas() {
        return areaLists().stream().flatMap(one -> one.signed().stream()).toList();
    }

    /** What was signed of permits, for {@link org.tenmesh.core.custody.Permits#inForce}. */
    public List<Signed<Permit>> signedPermits() {
        return permits().stream().flatMap(one -> one.signed().stream()).toList();
    }

    private static <T> List<Draft<T>> drafts(Handle handle, Kind kind, BiFunction<Row, Handle, T> paper) {
        List<Draft<T>> drafts = new ArrayList<>();
        for (Row row : rows(handle, kind)) {
            T says = paper.apply(row, handle);
            String sha256 = says instanceof AreaList list ? PaperRows.sha256(list) : PaperRows.sha256((Permit) says);
            drafts.add(new Draft<>(
                    row.name(), row.version(), says, row.reason(), row.by(), row.at(), sha256, row.signature()));
        }
        return drafts;
    }

    private static List<Row> rows(Handle handle, Kind kind) {
        return handle.createQuery("""
                        select p.id, p.name, v.version, v.reason, v.drafted_by, v.at, s.signed_by, s.at as signed_at, s.from_day
                        from custody.paper p
                        join custody.version v on v.paper = p.id
                        left join custody.signature s on s.paper = p.id and s.version = v.version
                        where p.kind = :kind order by p.name, v.version desc
                        """)
                .bind("kind", kind.word())
                .map((rs, ctx) -> new Row(
                        rs.getInt("id"),
                        rs.getString("name"),
                        rs.getInt("version"),
                        rs.getString("reason"),
                        rs.getString("drafted_by"),
                        rs.getObject("at", OffsetDateTime.class).toInstant(),
                        rs.getString("signed_by") == null
                                ? Optional.empty()
                                : Optional.of(new Draft.Signature(
                                        rs.getString("signed_by"),
                                        rs.getObject("signed_at", OffsetDateTime.class)
                                                .toInstant(),
                                        rs.getObject("from_day", LocalDate.class)))))
                .list();
    }

    private static Row version(
            Handle handle, Kind kind, String name, int seen, String reason, String actor, Instant at) {
        if (reason.isBlank() || reason.length() > LONGEST) {
            throw new Refused("A new version needs a reason of 1 to " + LONGEST + " characters. Nothing was kept.");
        }
        lock(handle);
        handle.createUpdate("insert into custody.paper (kind, name) values (:kind, :name) on conflict do nothing")
                .bind("kind", kind.word())
                .bind("name", name)
                .execute();
        int paper = handle.createQuery("select id from custody.paper where kind = :kind and name = :name")
                .bind("kind", kind.word())
                .bind("name", name)
                .mapTo(int.class)
                .one();
        int newest = handle.createQuery("select coalesce(max(version), 0) from custody.version where paper = :paper")
                .bind("paper", paper)
                .mapTo(int.class)
                .one();
        if (newest != seen) {
            throw new Refused(
                    seen == 0
                            ? name + " is there already, in version " + newest + ". Change that one. Nothing was kept."
                            : name + " was changed meanwhile: its newest version is " + newest + ", you looked at "
                                    + seen + ". Nothing was kept.");
        }
        handle.createUpdate("""
                        insert into custody.version (paper, version, reason, drafted_by, at)
                        values (:paper, :version, :reason, :actor, :at)
                        """)
                .bind("paper", paper)
                .bind("version", newest + 1)
                .bind("reason", reason)
                .bind("actor", actor)
                .bind("at", millis(at))
                .execute();
        return new Row(paper, name, newest + 1, reason, actor, at, Optional.empty());
    }

    private void journal(Handle handle, Kind kind, Row row, String sha256) {
        journal.write(
                handle,
                row.at(),
                row.by(),
                DRAFTED,
                kind.word() + "/" + row.name(),
                Json.object("version", row.version(), "sha256", sha256, "reason", row.reason()));
    }

    private static void lock(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('custody.paper'))");
    }

    // As the journal keeps it, so that the two can be compared.
    private static OffsetDateTime millis(Instant at) {
        return at.truncatedTo(ChronoUnit.MILLIS).atOffset(ZoneOffset.UTC);
    }
}
