package org.tenmesh.store;

import java.time.Instant;

/**
 * One line of the list of days.
 *
 * @param name name of the day
 * @param laboratory the laboratory's name
 * @param soils lab numbers, hidden controls among them
 * @param takenAt when its first import was taken
 * @param digest SHA-256 over the digests of all its imports in order; changes whenever anything was added to the day
 */
public record DayEntry(String name, String laboratory, int soils, int runs, Instant takenAt, String digest) {}
