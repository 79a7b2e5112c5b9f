package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.programs.Change;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.sheets.KeptSheet;

/** What other programs and the page of their tokens ask of the store. */
public interface ProgramBook {
    /** Makes a token; its text, which is kept nowhere. */
    String make(String program, Set<Scope> scopes, boolean ownOnly, Instant expiresAt, String actor);

    /** Every token that was ever made, the newest first. */
    List<ProgramToken> tokens();

    void withdraw(int token, String reason, String actor);

    /** The token that was shown, while it opens anything. */
    Optional<ProgramToken> find(String shown);

    /** What became of a registration with this key; empty where none came. */
    Optional<Registrations.Outcome> before(ProgramToken token, String key, byte[] body);

    Registrations.Outcome register(
            ProgramToken token,
            String key,
            String fileName,
            byte[] body,
            KeptSheet.Said said,
            Instant at,
            LocalDate today);

    /** Whether the token's program registered this submission. */
    boolean isOwn(ProgramToken token, String submission);

    List<Change> changes(ProgramToken token, long after, int most);

    /** The submissions of this name in every register, the one received last first. */
    List<LaboratoryRecord.KnownSubmission> submissions(String name);

    /** The submissions on the list of a day, in the order in which they came. */
    List<LaboratoryRecord.KnownSubmission> submissionsOf(String day);

    List<Soil> soilsOf(LaboratoryRecord.SubmissionKey submission);

    /** Every release of a submission, the oldest first. */
    List<Release> releases(LaboratoryRecord.SubmissionKey submission);

    /** Tells the journal that somebody asked for what their role may not. */
    void refused(String actor, String what, String role, String from);
}
