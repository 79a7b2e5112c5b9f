package org.tenmesh.store.live;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * An arrival as it is listed.
 *
 * @param id rises with the order in which arrivals were taken
 * @param name as a person knows it
 * @param bytes how many there are
 * @param runs names of the runs it brought readings of
 * @param readings how many it brought
 * @param setAside why it, or the rest of it, was not read
 */
public record KeptArrival(
        long id,
        String source,
        String key,
        String name,
        Instant receivedAt,
        Instant takenAt,
        String sha256,
        int bytes,
        List<String> runs,
        int readings,
        Optional<String> setAside,
        String actor) {
    public KeptArrival {
        runs = List.copyOf(runs);
    }
}
