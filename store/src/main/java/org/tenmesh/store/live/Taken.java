package org.tenmesh.store.live;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * What was taken, durable from the moment that this is given.
 *
 * @param source where it came from
 * @param key by which the source knows it
 * @param sha256 digest of its bytes, 64 lower-case hexadecimal digits
 * @param takenAt when it was taken first
 * @param before whether it had been taken before: then nothing was stored now, and this is what was given then
 * @param lines what it brought of each run
 * @param setAside why it, or the rest of it, was not read
 */
public record Taken(
        String source,
        String key,
        String sha256,
        Instant takenAt,
        boolean before,
        List<Lines> lines,
        Optional<String> setAside) {
    public Taken {
        lines = List.copyOf(lines);
    }

    /**
     * Readings of one run, by their place in it.
     *
     * @param run its name
     * @param day the laboratory day that it belonged to when they were taken
     * @param first place of the first reading, from 1
     * @param last place of the last reading; less than {@code first} where there was none
     * @param ended whether the run ended with them
     */
    public record Lines(String run, String day, int first, int last, boolean ended) {}
}
