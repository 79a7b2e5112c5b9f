package org.tenmesh.core.desk;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.derived.Telling;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.core.redo.Balancing;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Run;

/** Of all that was read and calculated for the soils of a day, here and elsewhere, which results stand. */
final class WhatStands {
    private final Standing sorted;
    private final Day asking;
    private final MethodBook book;
    private final Map<LabNumber, List<Result>> standing = new HashMap<>();
    private final Map<LabNumber, List<Result>> superseded = new HashMap<>();
    private final Map<Result, String> reasons = new IdentityHashMap<>();

    /**
     * @param asking the day with a package for every number in a tray
     * @param ruled the judged day with the results of other days, as people decided about them
     * @param derived what was derived when this was asked before
     */
    WhatStands(
            Day asking,
            JudgedDay ruled,
            MethodBook book,
            MethodsOfDay methods,
            List<ReadElsewhere> elsewhere,
            DerivedSoils derived) {
        this.asking = asking;
        this.book = book;
        Day everywhere = everywhere(asking, elsewhere);
        sorted = Standing.of(everywhere, ruled, book, derived);
        sorted.standing()
                .forEach(result -> standing.computeIfAbsent(result.labNumber(), number -> new ArrayList<>())
                        .add(result));
        sorted.superseded()
                .forEach(result -> superseded
                        .computeIfAbsent(result.labNumber(), number -> new ArrayList<>())
                        .add(result));
        reasons.putAll(sorted.reasons(everywhere));
        // What was measured, what is calculated from it, what is advised on both. A method is looked up once, not for
        // each of its results.
        Map<String, Integer> kinds = new HashMap<>();
        Map<String, Map<LocalDate, List<String>>> analytes = new HashMap<>();
        Comparator<Result> order = Comparator.<Result>comparingInt(
                        result -> kinds.computeIfAbsent(result.method(), id -> kind(methods, id)))
                .thenComparing(Result::method)
                .thenComparingInt(result -> analytePlace(
                        analytes.computeIfAbsent(result.method(), id -> new HashMap<>())
                                .computeIfAbsent(result.methodVersion(), date -> symbols(result)),
                        result.analyte()));
        standing.values().forEach(list -> list.sort(order));
        superseded.values().forEach(list -> list.sort(order));
    }

    /** The day with the runs of other days that read its soils: which reading stands goes by when runs began. */
    static Day everywhere(Day asking, List<ReadElsewhere> elsewhere) {
        if (elsewhere.isEmpty()) {
            return asking;
        }
        List<Run> runs = new ArrayList<>(asking.runs());
        elsewhere.forEach(other -> runs.addAll(other.runs()));
        return asking.withRuns(runs);
    }

    /** Where every reading of the day's runs ended. */
    Balance balance(Day day) {
        return Balancing.of(day, sorted, book);
    }

    private static int kind(MethodsOfDay methods, String id) {
        return methods.find(id)
                .map(method -> method.regionalAdvice().isPresent() ? 2 : method.isCalculated() ? 1 : 0)
                .orElse(3);
    }

    private List<String> symbols(Result result) {
        return book.version(result.method(), result.methodVersion()).head().analytes().stream()
                .map(Analyte::symbol)
                .toList();
    }

    private static int analytePlace(List<String> symbols, String analyte) {
        int place = symbols.indexOf(analyte);
        return place < 0 ? symbols.size() : place;
    }

    List<Result> of(LabNumber labNumber) {
        return standing.getOrDefault(labNumber, List.of());
    }

    List<Result> replaced(LabNumber labNumber) {
        return superseded.getOrDefault(labNumber, List.of());
    }

    String whyNot(Result replaced) {
        return reasons.getOrDefault(replaced, "");
    }

    /** Ids of the causes by which a result that stands is not fit, among results that are asked about. */
    Set<String> holding(Predicate<Result> isAsked) {
        Set<String> holding = new HashSet<>();
        standing.values()
                .forEach(results -> results.stream()
                        .filter(result -> result.verdict() != Verdict.FIT && isAsked.test(result))
                        .forEach(result -> holding.addAll(result.causes())));
        return holding;
    }

    Story story(Result result, Telling measured) {
        return sorted.story(asking, book, result, measured);
    }
}
