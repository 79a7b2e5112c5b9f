package org.tenmesh.store.release;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
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

    /** A release without a report: its report is made when it is first asked for. */
    public void release(String day, Release release) {
        store(day, List.of(release), Map.of());
    }

    /**
     * Stores several signed releases with their reports, all or none.
     *
     * @throws Refused naming the first submission that cannot be released
     */
    public void release(String day, List<SignedReport> signed) {
        Map<Release, SignedReport> reports = new IdentityHashMap<>();
        signed.forEach(one -> reports.put(one.release(), one));
        store(day, signed.stream().map(SignedReport::release).toList(), reports);
    }

    private void store(String day, List<Release> releases, Map<Release, SignedReport> reports) {
        for (Release release : releases) {
            if (release.signedBy().isBlank()) {
                throw new Refused("a release needs the name of who signs it; nothing was stored");
            }
        }
        try {
            app.useTransaction(handle -> {
                for (Release release : releases) {
                    release(handle, day, release, Optional.ofNullable(reports.get(release)));
                }
            });
        } catch (SQLException e) {
            throw new IllegalStateException("the release could not be stored: " + e.getMessage(), e);
        }
    }

    /** The report of a release as it is kept; empty where none is. */
    public Optional<KeptReport> report(String day, String submission, int revision) {
        return withSubmission(day, submission, (handle, id) -> KeptReports.of(handle, id, revision));
    }

    /** The form of the newest report of a submission; empty where none is kept. */
    public Optional<ReportForm> lastForm(String day, String submission) {
        return withSubmission(day, submission, KeptReports::lastForm);
    }

    /**
     * Keeps a report that was made after its release, unless one is kept already: then that one stays.
     *
     * @param actor who asked for it
     * @throws Refused when there is no such release
     */
    public KeptReport keepLater(
            String day, String submission, int revision, byte[] pdf, ReportForm form, String actor, Instant at) {
        app.useTransaction(handle -> {
            Optional<Integer> id = submission(handle, day, submission);
            Optional<Integer> release = id.flatMap(known -> handle.createQuery(
                            "select id from release.release where submission_id = :id and revision = :revision")
                    .bind("id", known)
                    .bind("revision", revision)
                    .mapTo(Integer.class)
                    .findOne());
            if (id.isEmpty() || release.isEmpty()) {
                throw new Refused("submission " + submission + " has no release " + revision + "; nothing was stored");
            }
            // one after the other, so that two who ask at once keep one report
            handle.execute("select pg_advisory_xact_lock(73, ?)", release.get());
            if (KeptReports.of(handle, id.get(), revision).isPresent()) {
                return;
            }
            String sha256 = KeptReports.keep(handle, release.get(), pdf, form, at, true);
            journal.write(
                    handle,
                    at,
                    actor,
                    "report-made-later",
                    handle.createQuery("""
                                    select coalesce(d.former_name, d.name) || '/' || r.submission || '/' || r.revision
                                    from release.release r join intake.day d on d.id = r.day where r.id = :id
                                    """)
                            .bind("id", release.get())
                            .mapTo(String.class)
                            .one(),
                    Json.object("report-sha256", sha256, "report-form", words(form)));
        });
        return report(day, submission, revision)
                .orElseThrow(() -> new IllegalStateException("a report that was just kept is not there"));
    }

    private static String words(ReportForm form) {
        return form.paper().word() + ", " + form.layout().word();
    }

    private interface OfSubmission<T> {
        Optional<T> with(Handle handle, int submission);
    }

    private <T> Optional<T> withSubmission(String day, String name, OfSubmission<T> work) {
        return app.inTransaction(handle -> submission(handle, day, name).flatMap(id -> work.with(handle, id)));
    }

    private static Optional<Integer> submission(Handle handle, String day, String name) {
        return Days.id(handle, day)
                .map(known -> Days.submissionNames(handle, known).get(name));
    }

    private void release(Handle handle, String day, Release release, Optional<SignedReport> report)
            throws SQLException {
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
        String approval = approval(handle, submission, release);
        int id = handle.createUpdate("""
                        insert into release.release
                            (day, submission, submission_id, revision, signed_by, signed_at, signed_offset, reason, held,
                             approval)
                        values (:day, :name, :submission, :revision, :signedBy, :signedAt, :signedOffset, :reason, :held,
                             :approval)
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
                .bind("approval", approval)
                .executeAndReturnGeneratedKeys("id")
                .mapTo(Integer.class)
                .one();
        RecordTables.RELEASED.copy(
                handle.getConnection(),
                List.of("release", "ord"),
                release.results(),
                (result, i, row) -> row.integer(id).integer(i));
        RowDigests results = Contents.results(release.results());
        List<Object> detail = new ArrayList<>(List.of(
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
                "approval",
                approval,
                "signed-at",
                release.signedAt().truncatedTo(ChronoUnit.MICROS).toString()));
        report.ifPresent(its -> detail.addAll(List.of(
                "report-sha256",
                KeptReports.keep(
                        handle, id, its.pdf(), its.form(), release.signedAt().toInstant(), false),
                "report-form",
                words(its.form()))));
        journal.write(
                handle,
                release.signedAt().toInstant(),
                release.signedBy(),
                "released",
                Days.inJournal(handle, dayId) + "/" + release.submission() + "/" + release.revision(),
                Json.object(detail.toArray()));
    }

    /** Asked here and not on a page alone: no way to a release goes round it. */
    private static String approval(Handle handle, int submission, Release release) {
        if (release.results().stream().noneMatch(result -> result.heldBecause().isEmpty())) {
            return SecondPerson.NOTHING_APPROVED;
        }
        SecondPerson rule = Approvals.rule(handle);
        List<WorkBehind> work = Approvals.workBehind(handle, submission);
        rule.refuses(release.signedBy(), work, List.of()).ifPresent(why -> {
            throw new Refused("submission " + release.submission() + " cannot be signed by " + release.signedBy()
                    + ", who did work behind it, while a second person is asked for; nothing was stored");
        });
        return rule.approval(release.signedBy(), work);
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
