package org.tenmesh.store.sheets;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Submissions that were laid out, said anew in versions; what came with them stays as it came. */
public final class LaidOutSubmissions {
    private final Jdbi app;
    private final Journal journal;

    public LaidOutSubmissions(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * The versions of a submission, the newest first and what came with it, version 0, last; none where the day has no such submission.
     *
     * @param day a day on whose list it stands
     * @param submission the name it has there
     */
    public List<SaidAnew> versions(String day, String submission) {
        return app.inTransaction(handle -> id(handle, day, submission)
                .map(id -> handle.createQuery("""
                                select version, client, promised_on, package, note, reason, actor, at
                                from intake.submission_version where submission = :id
                                union all
                                select 0, client, promised_on, package, note, '', '', received_at
                                from intake.submission where id = :id
                                order by version desc
                                """)
                        .bind("id", id)
                        .map((rs, ctx) -> Sheets.said(rs))
                        .list())
                .orElse(List.of()));
    }

    /**
     * Says a submission anew.
     *
     * @param seen the version that was looked at, 0 for what came
     * @throws Refused without a client or a reason, where the day has no such submission, or where somebody else changed it meanwhile
     */
    public void change(
            String day, String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at) {
        Sheets.expected(said);
        Sheets.withReason(reason);
        app.useTransaction(handle -> {
            int id = id(handle, day, submission)
                    .orElseThrow(() -> new Refused("there is no submission " + submission + " on " + day));
            // One change after the other: a second one waits here and then sees the first.
            handle.createQuery("select register from intake.register where register ="
                            + " (select register from intake.submission where id = :id) for update")
                    .bind("id", id)
                    .mapTo(String.class)
                    .one();
            int newest = handle.createQuery(
                            "select coalesce(max(version), 0) from intake.submission_version where submission = :id")
                    .bind("id", id)
                    .mapTo(int.class)
                    .one();
            if (newest != seen) {
                throw new Refused("Submission " + submission
                        + " was changed meanwhile; nothing was done. Look at it as it stands now.");
            }
            handle.createUpdate("""
                            insert into intake.submission_version
                                (submission, version, client, promised_on, package, note, reason, actor, at)
                            values (:id, :version, :client, :promised, :package, :note, :reason, :actor, :at)
                            """)
                    .bind("id", id)
                    .bind("version", newest + 1)
                    .bind("client", said.client())
                    .bind("promised", said.promisedOn().orElse(null))
                    .bind("package", said.packageName().orElse(null))
                    .bind("note", said.note().orElse(null))
                    .bind("reason", reason)
                    .bind("actor", actor)
                    .bind("at", Sheets.micros(at))
                    .execute();
            journal.write(
                    handle,
                    at,
                    actor,
                    "submission-changed",
                    day + "/" + submission,
                    Json.object(
                            "id", id,
                            "version", newest + 1,
                            "client", said.client(),
                            "promised",
                                    said.promisedOn().map(LocalDate::toString).orElse(""),
                            "package", said.packageName().orElse(""),
                            "note", said.note().orElse(""),
                            "reason", reason));
        });
    }

    private static Optional<Integer> id(Handle handle, String day, String submission) {
        return Days.id(handle, day)
                .flatMap(id ->
                        Optional.ofNullable(Days.submissionNames(handle, id).get(submission)));
    }
}
