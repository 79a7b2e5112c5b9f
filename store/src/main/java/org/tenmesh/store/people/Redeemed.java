package org.tenmesh.store.people;

/**
 * A one-time token that was used.
 *
 * @param person whom it signs in
 * @param issuer who issued it
 */
public record Redeemed(Person person, String issuer) {}
