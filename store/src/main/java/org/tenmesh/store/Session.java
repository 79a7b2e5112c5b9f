package org.tenmesh.store;

import java.time.Instant;

/** Who a session token belongs to, as that person is now, and until when. */
public record Session(Person person, Instant startedAt, Instant expiresAt) {}
