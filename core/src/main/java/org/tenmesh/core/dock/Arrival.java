package org.tenmesh.core.dock;

import java.util.OptionalLong;

/**
 * What area lists and permits are asked about.
 *
 * @param massG of all boxes together, g; empty where they were not weighed
 * @param handCarried whether any box was brought by hand and by no carrier
 */
public record Arrival(Origin origin, OptionalLong massG, boolean handCarried) {}
