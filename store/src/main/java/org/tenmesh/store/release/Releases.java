package org.tenmesh.store.release;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.days.Contents;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.RecordTables;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.RowDigests;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Signed releases of submissions, over all days: frozen, a change is the next revision. */
public final class Releases {
    private final Jdbi app;
    private final Journal journal;

    public Releases(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    public void release(String day, Release release) {
        if (release.signedBy().isBlank()) {
            throw new Refused("a release needs the name of who signs it; nothing was stored");
        }
        try {
            app.useTransaction(handle -> release(handle, day, release));
        } catch (SQLException e) {
            throw new IllegalStateException("the release could not be stored: " + e.getMessage(), e);
        }
    }

    private void release(Handle handle, String day, Release release) throws SQLException {
        int dayId = Days.id(handle, day).orElseThrow(() -> Days.unknownDay(day));
        // One release in a register follows the other, so that each sees the revision before it.
        handle.createQuery("""
                        select r.register from intake.register r join intake.day d on d.register = r.register
                        where d.id = :day for update of r
                        """).bind("day", dayId).mapTo(String.class).one();
        Integer submission = Days.submissionNames(handle, dayId).get(release.submission());
        if (submission == null) {
            throw new Refused("day " + day + " has no submission \"" + release.submission() + "\"; nothing was stored");
        }
        int next = 1
                + handle.createQuery(
                                "select coalesce(max(revision), 0) from release.release where submission_id = :submission")
                        .bind("submission", submission)
                        .mapTo(Integer.class)
                        .one();
        if (release.revision() != next) {
            throw new Refused("the next revision of submission " + release.submission() + " is " + next
                    + ", this one says " + release.revision()
                    + ": somebody may have released it in the meantime, look at it again; nothing was stored");
        }
        long held = release.results().stream()
                .filter(result -> !result.heldBecause().isEmpty())
                .count();
        int id = handle.createUpdate("""
                        insert into release.release
                            (day, submission, submission_id, revision, signed_by, signed_at, signed_offset, reason, held)
                        values (:day, :name, :submission, :revision, :signedBy, :signedAt, :signedOffset, :reason, :held)
                        """)
                .bind("day", dayId)
                .bind("name", release.submission())
                .bind("submission", submission)
                .bind("revision", release.revision())
                .bind("signedBy", release.signedBy())
                .bind("signedAt", release.signedAt())
                .bind("signedOffset", release.signedAt().getOffset().getTotalSeconds())
                .bind("reason", release.reason())
                .bind("held", (int) held)
                .executeAndReturnGeneratedKeys("id")
                .mapTo(Integer.class)
                .one();
        RecordTables.RELEASED.copy(
                handle.getConnection(),
                List.of("release", "ord"),
                release.results(),
                (result, i, row) -> row.integer(id).integer(i));
        RowDigests results = Contents.results(release.results());
        journal.write(
                handle,
                release.signedAt().toInstant(),
                release.signedBy(),
                "released",
                Days.inJournal(handle, dayId) + "/" + release.submission() + "/" + release.revision(),
                Json.object(
                        "reason",
                        release.reason(),
                        "released",
                        release.results().size() - held,
                        "held",
                        held,
                        "results-sha256",
                        resultsDigest(release.results()),
                        "contents",
                        Map.of("results", List.of(results.size(), results.keep(handle))),
                        "contents-version",
                        Contents.VERSION,
                        "signed-at",
                        release.signedAt().truncatedTo(ChronoUnit.MICROS).toString()));
    }

    public List<Release> releases(String day) {
        return inTransaction(day, handle -> {
            Optional<Integer> id = Days.id(handle, day);
            if (id.isEmpty()) {
                return List.of();
            }
            Map<Integer, String> names = new HashMap<>();
            Days.submissionNames(handle, id.get()).forEach((name, submission) -> names.put(submission, name));
            return load(handle, names);
        });
    }

    /** Every revision of one submission, the oldest first. */
    public List<Release> releases(int submission, String name) {
        return inTransaction(name, handle -> load(handle, Map.of(submission, name)));
    }

    public Optional<Release> release(String day, String submission, int revision) {
        return inTransaction(day, handle -> {
                    Optional<Integer> id = Days.id(handle, day)
                            .map(known -> Days.submissionNames(handle, known).get(submission));
                    return id.isEmpty() ? List.<Release>of() : load(handle, Map.of(id.get(), submission));
                })
                .stream()
                .filter(release -> release.revision() == revision)
                .findFirst();
    }

    private interface Work {
        List<Release> with(Handle handle) throws SQLException;
    }

    private List<Release> inTransaction(String of, Work work) {
        try {
            return app.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, work::with);
        } catch (SQLException e) {
            throw new IllegalStateException("the releases of " + of + " could not be read: " + e.getMessage(), e);
        }
    }

    /** @param names what each submission is called in the releases, by its id */
    private static List<Release> load(Handle handle, Map<Integer, String> names) throws SQLException {
        record Head(int id, int submission, int revision, String signedBy, OffsetDateTime signedAt, String reason) {}
        List<Head> heads = handle.createQuery("""
                        select id, submission_id, revision, signed_by, signed_at, signed_offset, reason
                        from release.release
                        where submission_id = any(:submissions)
                        order by submission_id, revision
                        """)
                .bindArray("submissions", Integer.class, List.copyOf(names.keySet()))
                .map((rs, ctx) -> new Head(
                        rs.getInt("id"),
                        rs.getInt("submission_id"),
                        rs.getInt("revision"),
                        rs.getString("signed_by"),
                        Days.at(
                                rs.getObject("signed_at", OffsetDateTime.class).toInstant(),
                                rs.getInt("signed_offset")),
                        rs.getString("reason")))
                .list();
        List<Release> releases = new ArrayList<>();
        for (Head head : heads) {
            releases.add(new Release(
                    names.getOrDefault(head.submission(), ""),
                    head.revision(),
                    head.signedBy(),
                    head.signedAt(),
                    head.reason(),
                    results(handle.getConnection(), head.id())));
        }
        releases.sort(Comparator.comparing(Release::submission).thenComparingInt(Release::revision));
        return List.copyOf(releases);
    }

    public static List<ReleasedResult> results(Connection connection, int release) throws SQLException {
        return RecordTables.RELEASED.values(connection, "where t.release = " + release + " order by t.ord");
    }

    /**
     * SHA-256 over the released results as canonical JSON, as version 0.1 took it and every release since has it in the journal.
     * What a later version adds to a result is in {@link Contents#results}, never here.
     */
    public static String resultsDigest(List<ReleasedResult> results) {
        StringBuilder text = new StringBuilder();
        for (ReleasedResult r : results) {
            text.append(Json.object(
                            "lab-number", r.labNumber().text(),
                            "method", r.method(),
                            "method-version", r.methodVersion(),
                            "analyte", r.analyte(),
                            "value",
                                    r.value().isPresent()
                                            ? Double.toString(r.value().getAsDouble())
                                            : "",
                            "unit", r.unit(),
                            "reported", r.reported(),
                            "uncertainty", r.uncertainty(),
                            "held-because", r.heldBecause()))
                    .append('\n');
        }
        return Journal.sha256(text.toString());
    }
}
