package org.tenmesh.web;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.programs.Change;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.ProgramBook;

/** Tokens kept in memory, for page tests; what programs register and read is tested on a real database. */
final class MemoryPrograms implements ProgramBook {
    private static final Instant AT = Instant.parse("2026-11-25T12:00:00Z");

    /** Writes to the journal: who, what, about what. */
    interface Writer {
        void write(String actor, String what, String subject);
    }

    private final Writer journal;
    private final Map<String, ProgramToken> tokens = new HashMap<>();
    private final List<String> secrets = new ArrayList<>();

    MemoryPrograms(Writer journal) {
        this.journal = journal;
    }

    @Override
    public synchronized String make(
            String program, Set<Scope> scopes, boolean ownOnly, Instant expiresAt, String actor) {
        if (program.isBlank() || scopes.isEmpty()) {
            throw new Refused("A token without a name or scope opens nothing. Nothing was done.");
        }
        String secret = "tmt-secret-" + (secrets.size() + 1);
        secrets.add(secret);
        tokens.put(
                secret,
                new ProgramToken(
                        secrets.size(),
                        program,
                        "own",
                        scopes,
                        ownOnly,
                        expiresAt,
                        actor,
                        AT,
                        Optional.empty(),
                        Optional.empty()));
        journal.write(actor, "token-made", program);
        return secret;
    }

    @Override
    public synchronized List<ProgramToken> tokens() {
        List<ProgramToken> all =
                new ArrayList<>(secrets.stream().map(tokens::get).toList());
        Collections.reverse(all);
        return all;
    }

    @Override
    public synchronized void withdraw(int token, String reason, String actor) {
        if (token > secrets.size() || token < 1 || reason.isBlank()) {
            throw new Refused("There is no token " + token + ", or no reason. Nothing was done.");
        }
        ProgramToken was = java.util.Objects.requireNonNull(tokens.get(secrets.get(token - 1)));
        tokens.put(
                secrets.get(token - 1),
                new ProgramToken(
                        was.id(),
                        was.program(),
                        was.register(),
                        was.scopes(),
                        was.ownOnly(),
                        was.expiresAt(),
                        was.madeBy(),
                        was.madeAt(),
                        Optional.of(new ProgramToken.Withdrawn(reason, actor, AT)),
                        Optional.empty()));
        journal.write(actor, "token-withdrawn", was.program());
    }

    @Override
    public synchronized Optional<ProgramToken> find(String shown) {
        return Optional.ofNullable(tokens.get(shown)).filter(token -> token.opens(AT));
    }

    @Override
    public Optional<Registrations.Outcome> before(ProgramToken token, String key, byte[] body) {
        return Optional.empty();
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
        journal.write(token.actor(), "registered", key);
        return new Registrations.Kept("SUB-9999", at, false);
    }

    @Override
    public boolean isOwn(ProgramToken token, String submission) {
        return false;
    }

    @Override
    public List<Change> changes(ProgramToken token, long after, int most) {
        return List.of();
    }

    @Override
    public List<LaboratoryRecord.KnownSubmission> submissions(String name) {
        return List.of();
    }

    @Override
    public List<LaboratoryRecord.KnownSubmission> submissionsOf(String day) {
        return List.of();
    }

    @Override
    public List<Soil> soilsOf(LaboratoryRecord.SubmissionKey submission) {
        return List.of();
    }

    @Override
    public List<Release> releases(LaboratoryRecord.SubmissionKey submission) {
        return List.of();
    }

    @Override
    public void refused(String actor, String what, String role, String from) {
        journal.write(actor, "access-refused", what);
    }
}
