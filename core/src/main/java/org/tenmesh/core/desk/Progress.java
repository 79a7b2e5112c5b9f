package org.tenmesh.core.desk;

/** How many clients' soils were read of those that a method is asked for. */
public record Progress(int read, int asked) {}
