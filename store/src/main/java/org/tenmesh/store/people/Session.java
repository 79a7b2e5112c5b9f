package org.tenmesh.store.people;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * Who a session token belongs to, as that person is now, and until when.
 *
 * @param linkIssuer who issued the one-time link that the session began with; empty when it began otherwise
 * @param locksAfter after how long without use it locks, where it began with a badge; empty otherwise
 */
public record Session(
        Person person,
        Instant startedAt,
        Instant expiresAt,
        Optional<String> linkIssuer,
        Optional<Duration> locksAfter) {}
