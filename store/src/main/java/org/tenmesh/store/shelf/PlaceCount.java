package org.tenmesh.store.shelf;

/** A place with what stands there. */
public record PlaceCount(String place, boolean regulated, int boxes, int soils) {}
