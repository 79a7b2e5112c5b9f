package org.tenmesh.store.sheets;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Worksheets that came, each change with its entry in the journal. */
public final class Sheets {
    private static final int LONGEST = 500;
    private static final String WAITING = """
            select w.*, v.version, v.client, v.promised_on, v.package, v.note, v.reason, v.actor as said_by
            from intake.worksheet w
            join lateral (select * from intake.worksheet_version v where v.worksheet = w.id order by version desc limit 1) v on true
            where not exists (select from intake.worksheet_settled s where s.worksheet = w.id)
            """;

    private final Jdbi app;
    private final Journal journal;

    public Sheets(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * Keeps a worksheet.
     *
     * @return the name that its submission got: {@code SUB-261125-3}
     * @throws Refused where the same file waits already or was laid out
     */
    public String keep(String fileName, byte[] bytes, KeptSheet.Said said, String actor, Instant at, LocalDate today) {
        return app.inTransaction(handle -> keep(handle, fileName, bytes, said, actor, at, today));
    }

    /** The same within a transaction that does more. */
    public String keep(
            Handle handle,
            String fileName,
            byte[] bytes,
            KeptSheet.Said said,
            String actor,
            Instant at,
            LocalDate today) {
        expected(said);
        String sha256 = sha256(bytes);
        hold(handle);
        Optional<String> before = handle.createQuery("""
                            select w.submission from intake.worksheet w
                            left join intake.worksheet_settled s on s.worksheet = w.id
                            where w.sha256 = :sha256 and coalesce(s.laid_out, true) limit 1
                            """)
                .bind("sha256", sha256)
                .mapTo(String.class)
                .findOne();
        if (before.isPresent()) {
            throw new Refused(
                    "This very file came before and is submission " + before.get()
                            + "; nothing was taken. If the client sent the same sheet for other soils, say so in its note and save it anew.");
        }
        String stem =
                String.format("SUB-%02d%02d%02d-", today.getYear() % 100, today.getMonthValue(), today.getDayOfMonth());
        int number = handle.createQuery("""
                            select coalesce(max(substr(submission, length(:stem) + 1)::int), 0) + 1 from intake.worksheet
                            where submission like :stem || '%'
                            """).bind("stem", stem).mapTo(int.class).one();
        String submission = stem + number;
        int id = handle.createUpdate("""
                            insert into intake.worksheet (submission, file_name, sha256, bytes, actor, at)
                            values (:submission, :file, :sha256, :bytes, :actor, :at)
                            """)
                .bind("submission", submission)
                .bind("file", fileName)
                .bind("sha256", sha256)
                .bind("bytes", bytes)
                .bind("actor", actor)
                .bind("at", micros(at))
                .executeAndReturnGeneratedKeys("id")
                .mapTo(int.class)
                .one();
        version(handle, id, 1, said, "", actor, at);
        journal.write(
                handle,
                at,
                actor,
                "worksheet-taken",
                submission,
                Json.object("file", fileName, "sha256", sha256, "client", said.client(), "said-sha256", digest(said)));
        return submission;
    }

    /**
     * Says a submission anew, before it is laid out.
     *
     * @param seen the version that was looked at
     * @throws Refused without a reason, where it waits no longer, or somebody else changed it meanwhile
     */
    public void change(String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at) {
        expected(said);
        withReason(reason);
        app.useTransaction(handle -> {
            int id = waiting(handle, submission);
            int newest = handle.createQuery("select max(version) from intake.worksheet_version where worksheet = :id")
                    .bind("id", id)
                    .mapTo(int.class)
                    .one();
            if (newest != seen) {
                throw new Refused("Submission " + submission
                        + " was changed meanwhile; nothing was done. Look at it as it stands now.");
            }
            version(handle, id, newest + 1, said, reason, actor, at);
            journal.write(
                    handle,
                    at,
                    actor,
                    "worksheet-changed",
                    submission,
                    Json.object(
                            "version",
                            newest + 1,
                            "client",
                            said.client(),
                            "reason",
                            reason,
                            "said-sha256",
                            digest(said)));
        });
    }

    /** Leaves a worksheet: it is not laid out. */
    public void leave(String submission, String reason, String actor, Instant at) {
        withReason(reason);
        app.useTransaction(handle -> {
            settle(handle, waiting(handle, submission), false, reason, actor, at);
            journal.write(handle, at, actor, "worksheet-left", submission, Json.object("reason", reason));
        });
    }

    /** Those that were laid out wait no longer. */
    public void laidOut(List<String> submissions, String actor, Instant at) {
        app.useTransaction(handle -> {
            for (String submission : submissions) {
                settle(handle, waiting(handle, submission), true, "", actor, at);
                journal.write(handle, at, actor, "worksheet-laid-out", submission, Json.object());
            }
        });
    }

    /** Everything that waits to be laid out, the oldest first. */
    public List<KeptSheet> waiting() {
        return app.withHandle(handle -> handle.createQuery(WAITING + " order by w.id")
                .map((rs, ctx) -> sheet(rs))
                .list());
    }

    /** Every version of what the dock said of a submission before it was laid out, the newest first; none where no worksheet of this name came. */
    public List<SaidAnew> versions(String submission) {
        return app.withHandle(handle -> handle.createQuery("""
                        select v.* from intake.worksheet_version v join intake.worksheet w on w.id = v.worksheet
                        where w.submission = :submission
                        order by v.version desc
                        """)
                .bind("submission", submission)
                .map((rs, ctx) -> said(rs))
                .list());
    }

    static SaidAnew said(ResultSet rs) throws SQLException {
        return new SaidAnew(
                rs.getInt("version"),
                new KeptSheet.Said(
                        rs.getString("client"),
                        Optional.ofNullable(rs.getObject("promised_on", LocalDate.class)),
                        Optional.ofNullable(rs.getString("package")),
                        Optional.ofNullable(rs.getString("note"))),
                rs.getString("reason"),
                rs.getString("actor"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    private static void version(
            Handle handle, int id, int version, KeptSheet.Said said, String reason, String actor, Instant at) {
        handle.createUpdate("""
                        insert into intake.worksheet_version (worksheet, version, client, promised_on, package, note, reason, actor, at)
                        values (:id, :version, :client, :promised, :package, :note, :reason, :actor, :at)
                        """)
                .bind("id", id)
                .bind("version", version)
                .bind("client", said.client())
                .bind("promised", said.promisedOn().orElse(null))
                .bind("package", said.packageName().orElse(null))
                .bind("note", said.note().orElse(null))
                .bind("reason", reason)
                .bind("actor", actor)
                .bind("at", micros(at))
                .execute();
    }

    /** The worksheet of a submission that waits; until the transaction ends nobody else changes worksheets. */
    static int waiting(Handle handle, String submission) {
        hold(handle);
        return waits(handle, submission)
                .orElseThrow(() -> new Refused("Submission " + submission
                        + " does not wait for its layout: it was laid out or left. Nothing was done."));
    }

    /** The worksheet of a submission, where it waits. */
    static Optional<Integer> waits(Handle handle, String submission) {
        return handle.createQuery("select id from (" + WAITING + ") w where submission = :submission")
                .bind("submission", submission)
                .mapTo(int.class)
                .findOne();
    }

    static void settle(Handle handle, int id, boolean laidOut, String reason, String actor, Instant at) {
        handle.createUpdate("""
                        insert into intake.worksheet_settled (worksheet, laid_out, reason, actor, at)
                        values (:id, :laidOut, :reason, :actor, :at)
                        """)
                .bind("id", id)
                .bind("laidOut", laidOut)
                .bind("reason", reason)
                .bind("actor", actor)
                .bind("at", micros(at))
                .execute();
    }

    static void expected(KeptSheet.Said said) {
        if (said.client().isBlank() || said.client().length() > LONGEST) {
            throw new Refused("A submission has a client, 1 to " + LONGEST + " characters. Nothing was done.");
        }
    }

    static void withReason(String reason) {
        if (reason.isBlank() || reason.length() > LONGEST) {
            throw new Refused("This needs a reason of 1 to " + LONGEST + " characters. Nothing was done.");
        }
    }

    /** SHA-256 over everything that the dock says in a version. */
    public static String digest(KeptSheet.Said said) {
        return Journal.sha256(Json.object(
                "client",
                said.client(),
                "promised",
                said.promisedOn().map(LocalDate::toString).orElse(""),
                "package",
                said.packageName().orElse(""),
                "note",
                said.note().orElse("")));
    }

    static void hold(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('intake.worksheet'))");
    }

    static OffsetDateTime micros(Instant at) {
        return at.truncatedTo(ChronoUnit.MICROS).atOffset(ZoneOffset.UTC);
    }

    private static KeptSheet sheet(ResultSet rs) throws SQLException {
        return new KeptSheet(
                rs.getString("submission"),
                rs.getString("file_name"),
                rs.getBytes("bytes"),
                rs.getString("sha256"),
                new KeptSheet.Said(
                        rs.getString("client"),
                        Optional.ofNullable(rs.getObject("promised_on", LocalDate.class)),
                        Optional.ofNullable(rs.getString("package")),
                        Optional.ofNullable(rs.getString("note"))),
                rs.getInt("version"),
                rs.getString("reason"),
                rs.getString("said_by"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    /** SHA-256 (FIPS 180-4) of a file as it came, 64 lower-case hexadecimal digits. */
    public static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java has SHA-256", impossible);
        }
    }
}
