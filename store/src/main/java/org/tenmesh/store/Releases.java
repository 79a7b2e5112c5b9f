package org.tenmesh.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/** Signed releases: frozen, a change is the next revision. */
final class Releases {
    private final Jdbi app;
    private final Journal journal;

    Releases(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    void release(String day, Release release) {
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
        // One release of a day follows the other, so that each sees the revision before it.
        handle.createQuery("select id from intake.day where id = :day for update")
                .bind("day", dayId)
                .mapTo(Integer.class)
                .one();
        boolean known = handle.createQuery(
                        "select exists (select from intake.submission where day = :day and submission = :submission)")
                .bind("day", dayId)
                .bind("submission", release.submission())
                .mapTo(Boolean.class)
                .one();
        if (!known) {
            throw new Refused("day " + day + " has no submission \"" + release.submission() + "\"; nothing was stored");
        }
        int next = 1
                + handle.createQuery("""
                                select coalesce(max(revision), 0) from release.release
                                where day = :day and submission = :submission
                                """)
                        .bind("day", dayId)
                        .bind("submission", release.submission())
                        .mapTo(Integer.class)
                        .one();
        if (release.revision() != next) {
            throw new Refused("the next revision of submission " + release.submission() + " is " + next
                    + ", this one says " + release.revision()
                    + ": somebody may have released it in the meantime, look at it again; nothing was stored");
        }
        int id = handle.createUpdate("""
                        insert into release.release
                            (day, submission, revision, signed_by, signed_at, signed_offset, reason)
                        values (:day, :submission, :revision, :signedBy, :signedAt, :signedOffset, :reason)
                        """)
                .bind("day", dayId)
                .bind("submission", release.submission())
                .bind("revision", release.revision())
                .bind("signedBy", release.signedBy())
                .bind("signedAt", release.signedAt())
                .bind("signedOffset", release.signedAt().getOffset().getTotalSeconds())
                .bind("reason", release.reason())
                .executeAndReturnGeneratedKeys("id")
                .mapTo(Integer.class)
                .one();
        copyResults(handle.getConnection(), id, release.results());
        long held = release.results().stream()
                .filter(result -> !result.heldBecause().isEmpty())
                .count();
        RowDigests results = Contents.results(release.results());
        journal.write(
                handle,
                release.signedAt().toInstant(),
                release.signedBy(),
                "released",
                day + "/" + release.submission() + "/" + release.revision(),
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

    List<Release> releases(String day) {
        return load(day, Optional.empty(), OptionalInt.empty());
    }

    Optional<Release> release(String day, String submission, int revision) {
        return load(day, Optional.of(submission), OptionalInt.of(revision)).stream()
                .findFirst();
    }

    private List<Release> load(String day, Optional<String> submission, OptionalInt revision) {
        record Head(int id, String submission, int revision, String signedBy, OffsetDateTime signedAt, String reason) {}
        try {
            return app.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
                List<Head> heads = handle.createQuery("""
                                select r.id, r.submission, r.revision, r.signed_by, r.signed_at, r.signed_offset, r.reason
                                from release.release r
                                join intake.day d on d.id = r.day
                                where d.name = :day
                                  and (:submission::text is null or r.submission = :submission)
                                  and (:revision = 0 or r.revision = :revision)
                                order by r.submission, r.revision
                                """)
                        .bind("day", day)
                        .bind("submission", submission)
                        .bind("revision", revision.orElse(0))
                        .map((rs, ctx) -> new Head(
                                rs.getInt("id"),
                                rs.getString("submission"),
                                rs.getInt("revision"),
                                rs.getString("signed_by"),
                                Days.at(
                                        rs.getObject("signed_at", OffsetDateTime.class)
                                                .toInstant(),
                                        rs.getInt("signed_offset")),
                                rs.getString("reason")))
                        .list();
                List<Release> releases = new ArrayList<>();
                for (Head head : heads) {
                    releases.add(new Release(
                            head.submission(),
                            head.revision(),
                            head.signedBy(),
                            head.signedAt(),
                            head.reason(),
                            results(handle.getConnection(), head.id())));
                }
                return List.copyOf(releases);
            });
        } catch (SQLException e) {
            throw new IllegalStateException("the releases of day " + day + " could not be read: " + e.getMessage(), e);
        }
    }

    /**
     * SHA-256 over the released results as canonical JSON, as version 0.1 took it and every release since has it in the journal.
     * What a later version adds to a result is in {@link Contents#results}, never here.
     */
    static String resultsDigest(List<ReleasedResult> results) {
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

    private static void copyResults(Connection connection, int release, List<ReleasedResult> results)
            throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "release.result (release, ord, lab_number, method, method_version, analyte, value, unit, reported,"
                        + " uncertainty, held_because)")) {
            int ord = 0;
            for (ReleasedResult r : results) {
                rows.row(11)
                        .integer(release)
                        .integer(ord++)
                        .text(r.labNumber().text())
                        .text(r.method())
                        .text(r.methodVersion())
                        .text(r.analyte())
                        .number(r.value())
                        .text(r.unit())
                        .text(r.reported())
                        .text(r.uncertainty())
                        .text(r.heldBecause());
            }
            rows.end();
        }
    }

    static List<ReleasedResult> results(Connection connection, int release) throws SQLException {
        List<ReleasedResult> results = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select lab_number, method, method_version, analyte, value, unit, reported, uncertainty, held_because"
                        + " from release.result where release = " + release + " order by ord")) {
            while (rows.next()) {
                results.add(new ReleasedResult(
                        new LabNumber(rows.text()),
                        rows.text(),
                        rows.text(),
                        rows.text(),
                        rows.numberOrNone(),
                        rows.text(),
                        rows.text(),
                        rows.text(),
                        rows.text()));
            }
        }
        return results;
    }
}
