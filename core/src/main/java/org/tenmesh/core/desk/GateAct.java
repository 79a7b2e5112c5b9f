package org.tenmesh.core.desk;

/**
 * A gate that a person shut or opened on the pages of some day.
 *
 * @param instrument whose gate it is
 */
public record GateAct(String instrument, Acted acted) {}
