package org.tenmesh.store.journal;

import java.time.Instant;
import java.util.Optional;

/**
 * Which entries of the journal are asked for. What is empty asks for all.
 *
 * @param actor who did it
 * @param what the word for what was done
 * @param about a part of what it was done to, capitals not counting; empty text for all
 * @param from first moment
 * @param until first moment after
 * @param before entries older than the one of this number
 */
public record JournalQuestion(
        Optional<String> actor,
        Optional<String> what,
        String about,
        Optional<Instant> from,
        Optional<Instant> until,
        Optional<Long> before) {
    public static final JournalQuestion ALL = new JournalQuestion(
            Optional.empty(), Optional.empty(), "", Optional.empty(), Optional.empty(), Optional.empty());

    /** The same question about what is older than an entry. */
    public JournalQuestion before(Optional<Long> seq) {
        return new JournalQuestion(actor, what, about, from, until, seq);
    }
}
