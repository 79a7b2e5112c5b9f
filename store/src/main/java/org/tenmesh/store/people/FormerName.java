package org.tenmesh.store.people;

import java.time.Instant;

/**
 * A name that somebody had.
 *
 * @param person whose it was, by the name they have now
 * @param until when they got another
 */
public record FormerName(String name, String person, Instant until) {}
