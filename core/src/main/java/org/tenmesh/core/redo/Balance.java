package org.tenmesh.core.redo;

import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * Where every reading of a day ended: each in exactly one place. What is read and used for nothing is set aside with a reason, and what
 * does not add up says so.
 *
 * @param runs in the order of the day
 * @param errors sentences about what does not add up; empty when all does
 */
public record Balance(List<OfRun> runs, List<String> errors) {
    public Balance {
        runs = List.copyOf(runs);
        errors = List.copyOf(errors);
    }

    /** What a reading came to. */
    public enum Place {
        /** It made a result that stands, whatever its verdict. */
        RESULT,
        STANDARD,
        /** It was read of a known solution that made no part of the calibration. */
        CHECK,
        BLANK,
        /** It was read of an open control soil; hidden ones are results like any other. */
        CONTROL,
        DUPLICATE,
        WASH,
        /** Another reading of the same soil stands. */
        SUPERSEDED,
        SET_ASIDE;

        /** The word in files and on pages. */
        public String word() {
            return name().toLowerCase(Locale.ROOT).replace('_', ' ');
        }
    }

    /**
     * Readings that were used for nothing.
     *
     * @param readings how many
     * @param firstPosition of the first of them
     * @param reason what they were and what was missing
     */
    public record SetAside(String run, int readings, int firstPosition, String reason) {}

    /**
     * The readings of one run.
     *
     * @param read how many there are
     * @param places how many came to each place; places without one are left out
     * @param aside what was set aside, in the order of first positions
     */
    public record OfRun(String run, int read, Map<Place, Integer> places, List<SetAside> aside) {
        public OfRun {
            places = Map.copyOf(places);
            aside = List.copyOf(aside);
        }

        /** How many came to one place. */
        public int of(Place place) {
            return places.getOrDefault(place, 0);
        }
    }

    /** How many readings there are. */
    public int read() {
        return runs.stream().mapToInt(OfRun::read).sum();
    }

    /** How many readings came to each place, all places in their order. */
    public Map<Place, Integer> places() {
        Map<Place, Integer> all = new EnumMap<>(Place.class);
        for (Place place : Place.values()) {
            all.put(place, runs.stream().mapToInt(run -> run.of(place)).sum());
        }
        return all;
    }

    /** Everything that was set aside, run by run. */
    public List<SetAside> aside() {
        return runs.stream().flatMap(run -> run.aside().stream()).toList();
    }
}
