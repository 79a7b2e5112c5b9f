package org.tenmesh.web.bench;

/** A lot that can be poured in a step. */
public record LotChoice(String name, String standsFor, boolean inUse) {}
