package org.tenmesh.store.people;

import java.time.Instant;
import java.util.Optional;

/**
 * Who a session token belongs to, as that person is now, and until when.
 *
 * @param linkIssuer who issued the one-time link that the session began with; empty when it began with a password
 */
public record Session(Person person, Instant startedAt, Instant expiresAt, Optional<String> linkIssuer) {}
