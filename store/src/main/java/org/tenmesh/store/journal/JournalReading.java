package org.tenmesh.store.journal;

import java.util.List;

/**
 * A part of the journal with what it can be narrowed down to.
 *
 * @param lines newest first
 * @param count of all entries that were asked for, with those beyond this part, newer ones too
 * @param actors everybody who is named in the journal
 * @param kinds every word for what was done that occurs in it
 */
public record JournalReading(List<JournalLine> lines, long count, List<String> actors, List<String> kinds) {}
