package org.tenmesh.store.journal;

import java.util.OptionalLong;

/**
 * What checking the whole chain found.
 *
 * @param entries entries looked at
 * @param head hash of the last entry, 64 zeros when there is none; print it to pin the chain outside the database
 * @param firstBroken sequence number of the first entry that does not fit; empty when the chain is whole
 * @param finding one sentence
 */
public record JournalCheck(long entries, String head, OptionalLong firstBroken, String finding) {
    /** Whether every entry fits. */
    public boolean whole() {
        return firstBroken.isEmpty();
    }
}
