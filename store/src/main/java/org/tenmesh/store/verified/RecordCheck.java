package org.tenmesh.store.verified;

import java.util.List;

/**
 * What comparing everything stored with the journal's digests found. Each text is one sentence that names the day, and the
 * row, lab number, run, release or person. A sentence never says which lab number is a hidden control.
 *
 * @param compared rows, runs and releases that were compared
 * @param differences what is not as the journal says
 * @param notCovered what no journal entry vouches for, because an earlier version stored it
 * @param unreadable what could not be read, and so was not compared
 */
public record RecordCheck(long compared, List<String> differences, List<String> notCovered, List<String> unreadable) {
    public RecordCheck {
        differences = List.copyOf(differences);
        notCovered = List.copyOf(notCovered);
        unreadable = List.copyOf(unreadable);
    }
}
