package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.StoredSoil;

/**
 * Soils that a run read after they had been stored for longer than its method compares. Such a reading is held: what was read in time stands
 * before it, and where nothing was, somebody accepts it with a reason, which the report then says.
 *
 * <p>The time is counted in laboratory dates, from the date that a lab number carries. A number of another form carries none; nothing is
 * said of it.
 */
final class StoredTooLong {
    private static final int NAMED = 4;

    private StoredTooLong() {}

    static Judging on(Day day, List<RunStage.Inputs> runs, Judging judged) {
        ZoneId zone = ZoneId.of(day.laboratory().zone());
        Map<String, Limit> limits = new HashMap<>();
        for (RunStage.Inputs one : runs) {
            Method method = one.method();
            Optional<StoredSoil> stored = method.head().stored();
            stored.ifPresent(its -> limits.put(
                    one.run().run(),
                    new Limit(
                            its.comparableDays(),
                            one.run().startedAt().atZoneSameInstant(zone).toLocalDate())));
        }
        if (limits.isEmpty()) {
            return judged;
        }
        Set<String> names = new HashSet<>();
        judged.found().forEach(found -> names.add(found.name()));
        Map<String, Late> late = new HashMap<>();
        List<Result> results = new ArrayList<>(judged.results().size());
        for (Result result : judged.results()) {
            Limit limit = limits.get(result.run());
            long days = limit == null || result.position() == 0
                    ? 0
                    : result.labNumber()
                            .date()
                            .map(date -> ChronoUnit.DAYS.between(date, limit.read()))
                            .orElse(0L);
            if (limit == null || days <= limit.days()) {
                results.add(result);
                continue;
            }
            Late its = late.computeIfAbsent(result.run(), run -> new Late(name(run, names), limit, result));
            its.add(result, days);
            results.add(result.heldBy(its.name));
        }
        if (late.isEmpty()) {
            return judged;
        }
        List<Found> found = new ArrayList<>(judged.found());
        late.entrySet().stream()
                .sorted(Map.Entry.comparingByKey())
                .forEach(one -> found.add(one.getValue().found(one.getKey())));
        return new Judging(results, found);
    }

    private static String name(String run, Set<String> names) {
        int number = 1;
        while (names.contains(run + "." + CauseKind.STORED_TOO_LONG.word() + "." + number)) {
            number++;
        }
        return run + "." + CauseKind.STORED_TOO_LONG.word() + "." + number;
    }

    /** @param read laboratory date on which the run started */
    private record Limit(int days, LocalDate read) {}

    private static final class Late {
        private final String name;
        private final Limit limit;
        private final String method;
        private final Set<String> analytes = new TreeSet<>();
        private final Set<String> soils = new TreeSet<>();
        private int first;
        private int last;
        private long longest;

        Late(String name, Limit limit, Result result) {
            this.name = name;
            this.limit = limit;
            this.method = result.method();
            this.first = result.position();
        }

        void add(Result result, long days) {
            analytes.add(result.analyte());
            soils.add(result.labNumber().text());
            first = Math.min(first, result.position());
            last = Math.max(last, result.position());
            longest = Math.max(longest, days);
        }

        Found found(String run) {
            List<String> named = soils.stream().limit(NAMED).toList();
            return Found.plain(
                    name,
                    CauseKind.STORED_TOO_LONG,
                    Verdict.HOLD,
                    run,
                    method,
                    List.copyOf(analytes),
                    first,
                    last,
                    "Read up to " + longest
                            + " days after the date of the lab number; the method compares stored soil for "
                            + limit.days() + " days: " + String.join(", ", named)
                            + (soils.size() > NAMED ? " and " + (soils.size() - NAMED) + " more" : "") + ".",
                    "What was read in time stands. Ask the client for a new sample, or accept this reading with a reason; the report says so.");
        }
    }
}
