package org.tenmesh.core.desk;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

/**
 * What runs of another laboratory day found in soils of this one: a redo that was read the next day, an original that was read the day
 * before. Names of runs come again each day, so here they carry their day: {@code 2026-11-26 PH1-01}.
 *
 * @param day name of the other day
 * @param runs the runs that read any of the soils, under their names with the day, without their readings
 * @param results as the other day judged them and people decided there, under the same names
 * @param accepted what people let stand there although a check failed
 */
public record ReadElsewhere(String day, List<Run> runs, List<Result> results, List<Acted> accepted) {
    public ReadElsewhere {
        runs = List.copyOf(runs);
        results = List.copyOf(results);
        accepted = List.copyOf(accepted);
    }

    /** What another day has to say of these soils, where nothing but causes and gates holds. */
    public static ReadElsewhere of(String name, Day other, Rulings rulings, Collection<LabNumber> labNumbers) {
        return of(name, other, rulings.results(), rulings, labNumbers);
    }

    /**
     * What another day has to say of these soils.
     *
     * @param other the other day as it is viewed
     * @param rulings of the other day
     * @param labNumbers of the soils of this day
     * @param holds what holds results on whatever day
     */
    public static ReadElsewhere of(
            String name, Day other, Rulings rulings, Collection<LabNumber> labNumbers, Holds holds, MethodBook book) {
        return of(
                name, other, holds.held(name, holds.things(name, other, book), rulings.results()), rulings, labNumbers);
    }

    private static ReadElsewhere of(
            String name, Day other, List<Result> judged, Rulings rulings, Collection<LabNumber> labNumbers) {
        Set<LabNumber> mine = new HashSet<>(labNumbers);
        List<Result> results = new ArrayList<>();
        for (Result result : judged) {
            if (result.position() > 0 && mine.contains(result.labNumber())) {
                results.add(result.inRun(qualified(name, result.run())));
            }
        }
        Set<String> named = results.stream().map(Result::run).collect(Collectors.toSet());
        List<Run> runs = other.runs().stream()
                .filter(run -> named.contains(qualified(name, run.run())))
                .map(run -> new Run(
                        qualified(name, run.run()),
                        run.method(),
                        run.instrument(),
                        run.operator(),
                        run.startedAt(),
                        Readings.builder().build(),
                        run.underWay()))
                .toList();
        return new ReadElsewhere(name, runs, results, rulings.accepted());
    }

    /** Lab numbers that runs of these days read by a method after some instant. */
    static Set<String> readSince(List<ReadElsewhere> days, String method, Instant after) {
        Set<String> read = new HashSet<>();
        for (ReadElsewhere other : days) {
            Set<String> later = other.runs().stream()
                    .filter(run -> run.method().equals(method)
                            && run.startedAt().toInstant().isAfter(after))
                    .map(Run::run)
                    .collect(Collectors.toSet());
            other.results().stream()
                    .filter(result -> later.contains(result.run()))
                    .forEach(result -> read.add(result.labNumber().text()));
        }
        return read;
    }

    /** Which of these days read a result; empty for one that was read on the day itself. */
    static Optional<ReadElsewhere> dayOf(List<ReadElsewhere> days, Result result) {
        return days.stream()
                .filter(other -> result.run().startsWith(qualified(other.day(), "")))
                .findFirst();
    }

    /** The name of a run with its day. */
    static String qualified(String day, String run) {
        return day + " " + run;
    }

    /** The name that a run has on its own day. */
    String ownName(String run) {
        return run.substring(day.length() + 1);
    }
}
