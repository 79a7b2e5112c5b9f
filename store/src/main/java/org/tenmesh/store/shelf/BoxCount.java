package org.tenmesh.store.shelf;

import java.util.Optional;

/**
 * A box with how many soils of what was asked for are in it.
 *
 * @param place where it stands; empty before it was put anywhere
 * @param about whose soils they are, or since when they are released; empty text where that was not asked
 */
public record BoxCount(String box, boolean regulated, Optional<String> place, int soils, String about) {}
