package org.tenmesh.core.shelf;

import java.time.LocalDate;
import java.util.Optional;

/**
 * While it lasts, the time that a soil is kept for does not run.
 *
 * @param kind in a word or two: complaint, legal hold, recheck
 * @param from the first day
 * @param to the day from which it no longer holds; empty while nobody has lifted it
 */
public record Pause(String kind, LocalDate from, Optional<LocalDate> to) {
    /** Whether it holds on this day. */
    public boolean holds(LocalDate day) {
        return !day.isBefore(from) && to.filter(end -> !day.isBefore(end)).isEmpty();
    }
}
