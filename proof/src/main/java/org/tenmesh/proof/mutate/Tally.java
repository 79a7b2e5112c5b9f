package org.tenmesh.proof.mutate;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/** Counts what became of the days. */
final class Tally {
    /** What must not happen, whatever the mistake. */
    static final Set<Outcome> NEVER = EnumSet.of(Outcome.UNBALANCED, Outcome.HALF_WRITTEN, Outcome.HANG, Outcome.CRASH);

    private final long seed;
    private final int soils;
    private final Collection<String> days;
    private final List<Line> lines = new ArrayList<>();

    Tally(long seed, int soils, Collection<String> days) {
        this.seed = seed;
        this.soils = soils;
        this.days = days;
    }

    private record Line(Mutation mutation, Seen seen) {
        boolean silent() {
            return seen.outcome().compareTo(Outcome.VALUES_IN_SILENCE) >= 0 && !NEVER.contains(seen.outcome());
        }

        boolean good() {
            return !NEVER.contains(seen.outcome())
                    && (!silent() || Unseen.reason(mutation, seen.outcome()).isPresent());
        }

        String text() {
            return mutation.written() + "\t" + seen.outcome().words() + "\t" + seen.status() + "\t"
                    + seen.said().replaceAll("\\s+", " ");
        }
    }

    /** Counts one day; gives it as a line of text. */
    String add(Mutation mutation, Seen seen) {
        Line line = new Line(mutation, seen);
        lines.add(line);
        return line.text();
    }

    int count() {
        return lines.size();
    }

    boolean good() {
        return lines.stream().allMatch(Line::good);
    }

    /** Those that must not be, and those of which nothing was said: each can be made again from its line. */
    List<String> failing() {
        return lines.stream()
                .filter(line -> line.seen.outcome().compareTo(Outcome.VALUES_IN_SILENCE) >= 0)
                .map(Line::text)
                .toList();
    }

    String text() {
        StringBuilder text = new StringBuilder();
        text.append(String.format(
                Locale.ROOT,
                "%d days with one mistake each; seed %d, %d soils, days %s%n",
                count(),
                seed,
                soils,
                days));
        text.append(String.format(
                Locale.ROOT,
                "silent and nobody could have seen it: %d; silent without a reason: %d%n",
                lines.stream().filter(line -> line.silent() && line.good()).count(),
                lines.stream().filter(line -> line.silent() && !line.good()).count()));
        table(text, "all", line -> "all");
        table(text, "file", line -> line.mutation.kindOfFile());
        table(text, "file and field", line -> line.mutation.kindOfFile() + " " + line.mutation.field());
        table(text, "mistake", line -> line.mutation.mistake().words());
        return text.toString();
    }

    private void table(StringBuilder text, String by, java.util.function.Function<Line, String> group) {
        Map<String, Map<Outcome, Integer>> counts = new TreeMap<>();
        for (Line line : lines) {
            counts.computeIfAbsent(group.apply(line), key -> new EnumMap<>(Outcome.class))
                    .merge(line.seen.outcome(), 1, Integer::sum);
        }
        text.append(String.format(Locale.ROOT, "%n%-46s", by));
        for (Outcome outcome : Outcome.values()) {
            text.append(String.format(Locale.ROOT, " %10s", outcome.words().replace(" in silence", " silent")));
        }
        text.append('\n');
        counts.forEach((key, its) -> {
            text.append(String.format(Locale.ROOT, "%-46s", key));
            for (Outcome outcome : Outcome.values()) {
                text.append(String.format(Locale.ROOT, " %10d", its.getOrDefault(outcome, 0)));
            }
            text.append('\n');
        });
    }
}
