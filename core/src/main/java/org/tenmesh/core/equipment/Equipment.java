package org.tenmesh.core.equipment;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * A piece of equipment as it was registered. Never changed: checks and what else becomes of it are noted in {@link Act}s.
 *
 * @param name on its label; for an instrument the name that its runs carry
 * @param identity serial or inventory number; may be empty
 * @param instrument name that runs carry in which it reads; empty where runs do not say it, as of a pipette
 * @param channel under which its readings stand there; empty for all of them
 * @param dues services and checks that it needs
 */
public record Equipment(
        String name,
        Kind kind,
        String identity,
        String instrument,
        String channel,
        List<Due> dues,
        String registeredBy,
        Instant registeredAt) {
    private static final int LONGEST = 200;
    private static final int MOST_DAYS = 36_500;

    /** What it is. */
    public enum Kind {
        INSTRUMENT("instrument"),
        BALANCE("balance"),
        PIPETTE("pipette"),
        THERMOMETER("thermometer"),
        PROBE("probe"),
        FURNACE("furnace"),
        OVEN("oven"),
        SHAKER("shaker"),
        GRINDER("grinder"),
        OTHER("other");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in what is kept and on pages. */
        public String word() {
            return word;
        }

        public static Optional<Kind> of(String word) {
            return Arrays.stream(values())
                    .filter(kind -> kind.word.equals(word))
                    .findFirst();
        }
    }

    /**
     * A service or check that is due at an interval, by a date, or both: first by the date, then at the interval.
     *
     * @param what in the laboratory's words, such as {@code check weight 10 g}
     * @param everyDays days from one to the next
     * @param by the last day by which it must first be done
     * @param low lowest number that passes; empty where no number is taken, or that side is open
     * @param high highest number that passes
     * @param unit of both, as text
     */
    public record Due(
            String what,
            OptionalInt everyDays,
            Optional<LocalDate> by,
            OptionalDouble low,
            OptionalDouble high,
            String unit) {
        /** @throws IllegalArgumentException naming what cannot be */
        public Due {
            if (what.isBlank() || what.length() > LONGEST) {
                throw new IllegalArgumentException("expected what is due, in 1 to " + LONGEST + " characters");
            }
            if (everyDays.isEmpty() && by.isEmpty()) {
                throw new IllegalArgumentException(what + ": expected an interval in days, a date, or both");
            }
            if (everyDays.isPresent() && (everyDays.getAsInt() < 1 || everyDays.getAsInt() > MOST_DAYS)) {
                throw new IllegalArgumentException(
                        what + " every " + everyDays.getAsInt() + " days: expected 1 to " + MOST_DAYS);
            }
            if (low.isPresent() && !Double.isFinite(low.getAsDouble())
                    || high.isPresent() && !Double.isFinite(high.getAsDouble())
                    || low.isPresent() && high.isPresent() && low.getAsDouble() > high.getAsDouble()) {
                throw new IllegalArgumentException(what + ": expected limits with the lower one first");
            }
        }

        /** Whether a number decides if the check passed. */
        public boolean hasLimits() {
            return low.isPresent() || high.isPresent();
        }

        /** Whether this number is within the limits. */
        public boolean passes(double value) {
            return Double.isFinite(value)
                    && (low.isEmpty() || value >= low.getAsDouble())
                    && (high.isEmpty() || value <= high.getAsDouble());
        }

        /** Everything it says in one line. */
        public String line() {
            return what + " every " + (everyDays.isPresent() ? everyDays.getAsInt() : "-") + " days, by "
                    + by.map(LocalDate::toString).orElse("-") + ", " + limits();
        }

        /** The limits in words: {@code 9.998 to 10.002 g}; empty text without any. */
        public String limits() {
            if (!hasLimits()) {
                return "";
            }
            String text = low.isEmpty()
                    ? "at most " + high.getAsDouble()
                    : high.isEmpty()
                            ? "at least " + low.getAsDouble()
                            : low.getAsDouble() + " to " + high.getAsDouble();
            return unit.isEmpty() ? text : text + " " + unit;
        }
    }

    /** @throws IllegalArgumentException naming what cannot be */
    public Equipment {
        dues = List.copyOf(dues);
        Thing.equipment(name);
        if (identity.length() > LONGEST || instrument.length() > LONGEST || channel.length() > LONGEST) {
            throw new IllegalArgumentException(
                    "equipment " + name + ": expected texts of at most " + LONGEST + " characters");
        }
        if (!channel.isEmpty() && instrument.isEmpty()) {
            throw new IllegalArgumentException(
                    "equipment " + name + ": a channel is one of an instrument, and no instrument is named");
        }
        Set<String> named = new HashSet<>();
        for (Due due : dues) {
            if (!named.add(due.what())) {
                throw new IllegalArgumentException("equipment " + name + ": " + due.what() + " is named twice");
            }
        }
    }

    public Thing thing() {
        return Thing.equipment(name);
    }

    public Optional<Due> due(String what) {
        return dues.stream().filter(one -> one.what().equals(what)).findFirst();
    }

    /** Everything it says in one line, by which the journal vouches for it. */
    public String line() {
        return "equipment " + name + "; " + kind.word() + "; identity " + identity + "; at " + instrument + " channel "
                + channel + "; due " + dues.stream().map(Due::line).collect(Collectors.joining(" / ")) + "; by "
                + registeredBy + " at " + registeredAt;
    }
}
