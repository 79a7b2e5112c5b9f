package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.Store;
import org.tenmesh.store.programs.Change;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.sheets.KeptSheet;

/** Other programs in the store. */
record StoredPrograms(Store store) implements ProgramBook {
    @Override
    public String make(String program, Set<Scope> scopes, boolean ownOnly, Instant expiresAt, String actor) {
        return store.tokens().make(program, scopes, ownOnly, expiresAt, actor);
    }

    @Override
    public List<ProgramToken> tokens() {
        return store.tokens().all();
    }

    @Override
    public void withdraw(int token, String reason, String actor) {
        store.tokens().withdraw(token, reason, actor);
    }

    @Override
    public Optional<ProgramToken> find(String shown) {
        return store.tokens().find(shown);
    }

    @Override
    public Optional<Registrations.Outcome> before(ProgramToken token, String key, byte[] body) {
        return store.registrations().before(token, key, body);
    }

    @Override
    public Registrations.Outcome register(
            ProgramToken token,
            String key,
            String fileName,
            byte[] body,
            KeptSheet.Said said,
            Instant at,
            LocalDate today) {
        return store.registrations().register(token, key, fileName, body, said, at, today);
    }

    @Override
    public boolean isOwn(ProgramToken token, String submission) {
        return store.registrations().isOwn(token, submission);
    }

    @Override
    public List<Change> changes(ProgramToken token, long after, int most) {
        return store.changes().after(token, after, most);
    }

    @Override
    public List<LaboratoryRecord.KnownSubmission> submissions(String name) {
        return store.record().submissions(name);
    }

    @Override
    public List<LaboratoryRecord.KnownSubmission> submissionsOf(String day) {
        return store.record().submissionsOf(day);
    }

    @Override
    public List<Soil> soilsOf(LaboratoryRecord.SubmissionKey submission) {
        return store.record().soilsOf(submission);
    }

    @Override
    public List<Release> releases(LaboratoryRecord.SubmissionKey submission) {
        return store.record().releases(submission);
    }

    @Override
    public void refused(String actor, String what, String role, String from) {
        store.note(actor, "access-refused", what, Map.of("role", role, "from", from));
    }
}
