package org.tenmesh.store.people;

import java.time.Instant;

/**
 * A badge that opens bench pages together with its PIN.
 *
 * @param pinHash empty until its holder has chosen a PIN
 */
public record Badge(Person person, String pinHash, Instant issuedAt) {}
