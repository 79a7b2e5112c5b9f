package org.tenmesh.core.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * A version of a list or a permit that somebody signed. A later version takes its place and changes nothing that was decided by it.
 *
 * @param version from 1
 * @param from first day on which it decides
 */
public record Signed<T>(String name, int version, T paper, String signedBy, Instant signedAt, LocalDate from) {
    /** What decides on a day: of each name the highest version that is signed for it. */
    public static <T> List<Signed<T>> inForce(List<Signed<T>> all, LocalDate on) {
        Map<String, Signed<T>> newest = new TreeMap<>();
        for (Signed<T> one : all) {
            if (!one.from().isAfter(on)) {
                newest.merge(one.name(), one, (a, b) -> a.version() > b.version() ? a : b);
            }
        }
        return List.copyOf(newest.values());
    }

    /** "Fire ant counties, version 3, signed by N. N." */
    public String words() {
        return name + ", version " + version + ", signed by " + signedBy;
    }
}
