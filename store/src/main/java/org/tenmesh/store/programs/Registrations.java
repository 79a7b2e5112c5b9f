package org.tenmesh.store.programs;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.Sheets;

/** Submissions that other programs register: each waits like a worksheet that was taken at the dock. May be used by several threads. */
public final class Registrations {
    private final Jdbi app;
    private final Journal journal;
    private final Sheets sheets;

    public Registrations(Jdbi app, Journal journal, Sheets sheets) {
        this.app = app;
        this.journal = journal;
        this.sheets = sheets;
    }

    /** What became of a registration. */
    public sealed interface Outcome {}

    /**
     * It is kept.
     *
     * @param before whether it was kept already when it came this time
     */
    public record Kept(String submission, Instant at, boolean before) implements Outcome {}

    /** The key came before with other bytes; nothing was done. */
    public record OtherBody(String submission) implements Outcome {}

    /** The newest day belongs to another register than the token; nothing was done. */
    public record OtherRegister(String register) implements Outcome {}

    /**
     * Registers a submission once.
     *
     * @param key chosen by the program, the same when the same thing is sent again
     * @param body what came, kept as it is
     * @param said what it says of the submission as a whole
     * @throws Refused where the same bytes came before under another key
     */
    public Outcome register(
            ProgramToken token,
            String key,
            String fileName,
            byte[] body,
            KeptSheet.Said said,
            Instant at,
            LocalDate today) {
        String sha256 = Sheets.sha256(body);
        Instant now = at.truncatedTo(ChronoUnit.MICROS);
        return app.inTransaction(handle -> {
            // Who sends the same key twice at once waits for the first.
            handle.execute("select pg_advisory_xact_lock(hashtextextended(?, 90))", token.program() + "\n" + key);
            Optional<Outcome> before = before(handle, token, key, sha256);
            if (before.isPresent()) {
                return before.get();
            }
            String register = handle.createQuery(
                            "select register from intake.day order by on_date desc, id desc limit 1")
                    .mapTo(String.class)
                    .findOne()
                    .orElse(token.register());
            if (!register.equals(token.register())) {
                return new OtherRegister(register);
            }
            String submission = sheets.keep(handle, fileName, body, said, token.actor(), now, today);
            handle.createUpdate("""
                            insert into programs.registration (program, key, body_sha256, submission, token, at)
                            values (:program, :key, :sha256, :submission, :token, :now)
                            """)
                    .bind("program", token.program())
                    .bind("key", key)
                    .bind("sha256", sha256)
                    .bind("submission", submission)
                    .bind("token", token.id())
                    .bind("now", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle,
                    now,
                    token.actor(),
                    "registered",
                    submission,
                    Json.object(
                            "key", key,
                            "sha256", sha256,
                            "token-made-at", token.madeAt().toString()));
            return new Kept(submission, now, false);
        });
    }

    private static Optional<Outcome> before(Handle handle, ProgramToken token, String key, String sha256) {
        return handle.createQuery(
                        "select body_sha256, submission, at from programs.registration where program = :program and key = :key")
                .bind("program", token.program())
                .bind("key", key)
                .map((rs, ctx) -> rs.getString(1).equals(sha256)
                        ? (Outcome) new Kept(rs.getString(2), rs.getTimestamp(3).toInstant(), true)
                        : new OtherBody(rs.getString(2)))
                .findOne();
    }

    /** What became of a registration of this program with this key; empty where none came. */
    public Optional<Outcome> before(ProgramToken token, String key, byte[] body) {
        return app.withHandle(handle -> before(handle, token, key, Sheets.sha256(body)));
    }

    /** Whether this program registered the submission of this name. */
    public boolean isOwn(ProgramToken token, String submission) {
        return app.withHandle(handle -> handle.createQuery(
                        "select exists (select from programs.registration where program = :program and submission = :submission)")
                .bind("program", token.program())
                .bind("submission", submission)
                .mapTo(Boolean.class)
                .one());
    }
}
