package org.tenmesh.store.programs;

import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * A token of another program, without its secret.
 *
 * @param program who shows it; several tokens of one program share what it registered
 * @param register whose submissions it sees
 * @param ownOnly whether it sees those alone that its program registered
 * @param lastUsedAt to the minute; empty before the first time
 */
public record ProgramToken(
        int id,
        String program,
        String register,
        Set<Scope> scopes,
        boolean ownOnly,
        Instant expiresAt,
        String madeBy,
        Instant madeAt,
        Optional<Withdrawn> withdrawn,
        Optional<Instant> lastUsedAt) {
    /** Why it opens nothing any more. */
    public record Withdrawn(String reason, String actor, Instant at) {}

    public ProgramToken {
        scopes = Set.copyOf(scopes);
    }

    /** Whether it opens anything at this moment. */
    public boolean opens(Instant now) {
        return withdrawn.isEmpty() && now.isBefore(expiresAt);
    }

    /** Its scopes in the order of the alphabet, a blank between them. */
    public String scopeWords() {
        return words(scopes);
    }

    static String words(Set<Scope> scopes) {
        Set<String> words = new TreeSet<>();
        scopes.forEach(one -> words.add(one.word()));
        return String.join(" ", words);
    }

    /** Who the journal says did it. */
    public String actor() {
        return "program " + program;
    }
}
