package org.tenmesh.store.days;

import java.time.Instant;
import java.util.List;

/**
 * What one import stored.
 *
 * @param day name of the laboratory day for which it was listed; its runs may belong to other days
 * @param sourceSha256 digest of what was imported, 64 lower-case hexadecimal digits
 * @param soils lab numbers added
 * @param runs names of the runs added, in the order of the import
 * @param readings readings added
 * @param actor who imported it
 * @param takenAt when
 */
public record Receipt(
        String day, String sourceSha256, int soils, List<String> runs, long readings, String actor, Instant takenAt) {
    public Receipt {
        runs = List.copyOf(runs);
    }
}
