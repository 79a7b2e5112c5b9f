package org.tenmesh.store.days;

import java.time.Instant;
import java.time.LocalDate;

/**
 * One line of the list of days.
 *
 * @param name name of the day, its address
 * @param date the laboratory date
 * @param register whose lab numbers it is about
 * @param laboratory the laboratory's name
 * @param soils lab numbers on its list, hidden controls among them
 * @param takenAt when its first import was taken
 * @param digest SHA-256 over the digests of all imports that brought something for it, in order; changes whenever anything was
 *     added to the day
 */
public record DayEntry(
        String name,
        LocalDate date,
        String register,
        String laboratory,
        int soils,
        int runs,
        Instant takenAt,
        String digest) {}
