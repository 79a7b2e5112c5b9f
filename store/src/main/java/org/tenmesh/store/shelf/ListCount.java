package org.tenmesh.store.shelf;

import java.time.LocalDate;

/**
 * A discard list with how much of it is done.
 *
 * @param signedBy empty text until it is signed
 */
public record ListCount(String name, LocalDate day, String madeBy, String signedBy, int soils, int discarded) {}
