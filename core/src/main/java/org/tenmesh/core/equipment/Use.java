package org.tenmesh.core.equipment;

import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * That somebody used a lot or a piece of equipment for a run or for the soils of a tray, where readings do not say it: the extractant
 * of a tray, the pipette of a dilution.
 *
 * @param number counts up over everything noted, in the order in which it was stored
 * @param day name of the laboratory day of the run or tray
 * @param code the run or tray
 * @param method for which it was used; empty text for every method
 * @param at when it was used
 */
public record Use(
        long number,
        Thing thing,
        Place place,
        String day,
        String code,
        String method,
        Instant at,
        String person,
        Instant storedAt) {
    /** A tray of another day, as a day names it that reads it again. */
    private static final Pattern OF_ANOTHER_DAY = Pattern.compile("(.+) \\((\\d{4}-\\d{2}-\\d{2})\\)");

    /** Characters of the date with which the name of a day begins. */
    private static final int DATE = 10;

    /** What it was used for. */
    public enum Place {
        RUN("run"),
        TRAY("tray");

        private final String word;

        Place(String word) {
            this.word = word;
        }

        /** The word in what is kept. */
        public String word() {
            return word;
        }

        public static Optional<Place> of(String word) {
            return Arrays.stream(values())
                    .filter(place -> place.word.equals(word))
                    .findFirst();
        }
    }

    /** @throws IllegalArgumentException where day or code is missing */
    public Use {
        if (day.isBlank() || code.isBlank() || code.length() > 64) {
            throw new IllegalArgumentException("use of " + thing.key() + ": expected the day and the run or tray");
        }
    }

    /**
     * The use for a tray as a day names it; a tray of an earlier day is noted on that one.
     *
     * @param name of the day; that of another register has it after its date: 2026-11-24 field station
     */
    public static Use ofTray(
            Thing thing, String name, String tray, String method, Instant at, String person, Instant storedAt) {
        Matcher other = OF_ANOTHER_DAY.matcher(tray);
        boolean ofAnother = other.matches() && name.length() >= DATE;
        return new Use(
                0,
                thing,
                Place.TRAY,
                ofAnother ? other.group(2) + name.substring(DATE) : name,
                ofAnother ? other.group(1) : tray,
                method,
                at,
                person,
                storedAt);
    }

    /** Everything it says in one line, by which the journal vouches for it. */
    public String line() {
        return number + ". " + thing.key() + " for " + place.word() + " " + day + "/" + code + "; method " + method
                + "; " + at + "; by " + person + " at " + storedAt;
    }
}
