package org.tenmesh.store.journal;

import java.util.Map;

/**
 * An entry to be read.
 *
 * @param detail what the entry's detail says, name by name in its order; lists and objects as JSON text
 */
public record JournalLine(JournalEntry entry, Map<String, String> detail) {}
