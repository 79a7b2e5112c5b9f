package org.tenmesh.core.equipment;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;

/**
 * That somebody holds what was read since the last good check of something, with a reason, until somebody lifts that. It holds what it
 * listed when it was laid, whatever is found later.
 *
 * @param number counts up in the order in which it was laid
 * @param about what was looked back on, in words: {@code instrument ICP1 since 2026-11-24 16:20}
 * @param spans what it holds
 * @param lifted by whom, and why; empty while it holds
 */
public record Hold(
        long number,
        String about,
        String reason,
        List<Span> spans,
        String person,
        Instant at,
        Optional<Lifted> lifted) {
    private static final String KEY = "look-back@";
    private static final int LONGEST = 500;

    /**
     * Positions of one run.
     *
     * @param day name of the laboratory day of the run
     * @param first position, 1 or more
     * @param last position, as large or larger
     */
    public record Span(String day, String run, int first, int last) {
        /** @throws IllegalArgumentException where the positions cannot be */
        public Span {
            if (day.isBlank() || run.isBlank() || first < 1 || last < first) {
                throw new IllegalArgumentException(
                        "positions " + first + " to " + last + " of run " + day + "/" + run + " cannot be held");
            }
        }

        private boolean has(String ofDay, Result result) {
            return day.equals(ofDay)
                    && run.equals(result.run())
                    && result.position() >= first
                    && result.position() <= last;
        }

        /** In one line. */
        public String line() {
            return day + "/" + run + " " + first + "-" + last;
        }
    }

    /** That a hold was lifted. */
    public record Lifted(String reason, String person, Instant at) {
        /** @throws IllegalArgumentException without a reason */
        public Lifted {
            if (reason.isBlank() || reason.length() > LONGEST) {
                throw new IllegalArgumentException("a hold is lifted with a reason of 1 to " + LONGEST + " characters");
            }
        }

        /** Everything it says in one line, by which the journal vouches for it. */
        public String line() {
            return reason + "; by " + person + " at " + at;
        }
    }

    /** @throws IllegalArgumentException without a reason, or where nothing is held */
    public Hold {
        spans = List.copyOf(spans);
        if (reason.isBlank() || reason.length() > LONGEST) {
            throw new IllegalArgumentException("results are held with a reason of 1 to " + LONGEST + " characters");
        }
        if (spans.isEmpty() || about.isBlank()) {
            throw new IllegalArgumentException("a hold needs what it is about and at least one reading that it holds");
        }
    }

    /** What stands among the causes of a result that it holds. */
    public String key() {
        return KEY + number;
    }

    /** Whether a key is one of a hold. */
    public static boolean isKey(String key) {
        return key.startsWith(KEY);
    }

    /** Whether it lists a result of this day. */
    public boolean lists(String day, Result result) {
        return spans.stream().anyMatch(span -> span.has(day, result));
    }

    /** Soils of a day that it lists, while nobody lifted it. */
    public Set<LabNumber> soils(String day, List<Result> results) {
        return lifted.isPresent()
                ? Set.of()
                : results.stream()
                        .filter(result -> lists(day, result))
                        .map(Result::labNumber)
                        .collect(Collectors.toSet());
    }

    /** The results of a day, those that a hold lists and nobody lifted as held. */
    public static List<Result> held(List<Hold> holds, String day, List<Result> results) {
        Map<String, List<Hold>> byRun = new HashMap<>();
        for (Hold hold : holds) {
            if (hold.lifted().isEmpty()) {
                hold.spans().stream()
                        .filter(span -> span.day().equals(day))
                        .map(Span::run)
                        .distinct()
                        .forEach(run -> byRun.merge(run, List.of(hold), Hold::both));
            }
        }
        if (byRun.isEmpty()) {
            return results;
        }
        return results.stream()
                .map(result -> {
                    Result now = result;
                    for (Hold hold : byRun.getOrDefault(result.run(), List.of())) {
                        now = hold.lists(day, result) ? now.heldBy(hold.key()) : now;
                    }
                    return now;
                })
                .toList();
    }

    private static List<Hold> both(List<Hold> some, List<Hold> others) {
        return Stream.concat(some.stream(), others.stream()).toList();
    }

    /** Everything it says but whether it was lifted in one line, by which the journal vouches for it. */
    public String line() {
        return number + ". " + about + "; " + reason + "; "
                + String.join(", ", spans.stream().map(Span::line).toList()) + "; by " + person + " at " + at;
    }
}
