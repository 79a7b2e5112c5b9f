package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.RunUnderWay;
import org.tenmesh.core.desk.GateState;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.words.Words;

/**
 * A run under way as it stands after its newest reading, judged by what it carries itself.
 *
 * @param id by which a page finds it
 * @param method title of its method
 * @param readings how many were taken
 * @param lead where it stands, in one line
 * @param gate open, shut or not read yet
 * @param gateSays what decides that
 * @param causes what was found so far, costliest first
 * @param newest the soils read last, the newest first
 */
public record RunUnderWayCard(
        String id,
        String run,
        String instrument,
        String method,
        int readings,
        String lead,
        String gate,
        String gateSays,
        List<String> causes,
        List<Soil> newest) {
    public static final String OPEN = "open";
    public static final String SHUT = "shut";
    public static final String NOT_READ = "not read yet";

    private static final int MOST_SOILS = 6;
    private static final int MOST_CAUSES = 3;

    /**
     * One soil.
     *
     * @param verdict fit, redo, hold, or waits where nothing but the run itself holds it
     * @param says what its results wait for, or its causes' kinds; empty text for one that is fit
     */
    public record Soil(String labNumber, int position, String verdict, String says) {}

    /**
     * @param alone see {@link org.tenmesh.core.causes.DayJudge#alone}
     * @param method title of its method
     */
    public static RunUnderWayCard of(Run run, JudgedDay alone, String method) {
        Map<Integer, List<Result>> byPosition = new TreeMap<>(Comparator.reverseOrder());
        for (Result result : alone.results()) {
            byPosition
                    .computeIfAbsent(result.position(), position -> new ArrayList<>())
                    .add(result);
        }
        Map<String, Integer> counts = new LinkedHashMap<>();
        List<Soil> newest = new ArrayList<>();
        byPosition.forEach((position, results) -> {
            Soil soil = soil(position, results, alone);
            counts.merge(soil.verdict(), 1, Integer::sum);
            if (newest.size() < MOST_SOILS) {
                newest.add(soil);
            }
        });
        int last = alone.underWay(run.run()).map(RunUnderWay::lastPosition).orElse(0);
        List<String> said = new ArrayList<>();
        for (String verdict : List.of("fit", "waits", "hold", "redo")) {
            if (counts.containsKey(verdict)) {
                said.add(Words.count(counts.getOrDefault(verdict, 0)) + " " + verdict);
            }
        }
        List<Gate> notRead = alone.underWay(run.run()).map(RunUnderWay::notRead).orElse(List.of());
        GateState state = GateState.of(run, alone);
        String gate = !state.shut().isEmpty() ? SHUT : notRead.isEmpty() ? OPEN : NOT_READ;
        return new RunUnderWayCard(
                "run-" + Words.anchor(run.run()),
                run.run(),
                run.instrument(),
                method,
                run.readings().size(),
                "position " + last + ", " + Words.of(byPosition.size(), "soil") + " read"
                        + (said.isEmpty() ? "" : ": " + String.join(", ", said)),
                gate,
                gateSays(gate, state, notRead),
                alone.causes().stream()
                        .limit(MOST_CAUSES)
                        .map(Cause::kind)
                        .map(kind -> kind.phrase())
                        .distinct()
                        .toList(),
                newest);
    }

    private static String gateSays(String gate, GateState state, List<Gate> notRead) {
        if (gate.equals(NOT_READ)) {
            return Words.and(notRead.stream().map(Gate::phrase).toList());
        }
        if (gate.equals(OPEN)) {
            return "";
        }
        Gate shut = state.shut().iterator().next();
        return shut.phrase()
                + state.atTheStart().stream()
                        .filter(outcome -> outcome.gate() == shut && !outcome.open())
                        .map(GateOutcome::observed)
                        .findFirst()
                        .map(observed -> ": " + observed)
                        .orElse("");
    }

    private static Soil soil(int position, List<Result> results, JudgedDay alone) {
        Result worst = results.stream()
                .max(Comparator.comparingInt(result -> rank(result, alone)))
                .orElseThrow();
        List<String> waits = results.stream()
                .flatMap(result -> alone.awaits(result).stream())
                .distinct()
                .toList();
        boolean waiting = rank(worst, alone) == 1;
        String says = waiting
                ? "for " + Words.and(waits)
                : Words.and(results.stream()
                        .flatMap(result -> result.causes().stream())
                        .distinct()
                        .flatMap(key -> alone.causes().stream()
                                .filter(cause -> cause.id().equals(key)))
                        .map(cause -> cause.kind().phrase())
                        .distinct()
                        .toList());
        return new Soil(
                worst.labNumber().text(),
                position,
                waiting ? "waits" : worst.verdict().word(),
                says);
    }

    private static int rank(Result result, JudgedDay alone) {
        return switch (result.verdict()) {
            case FIT -> 0;
            case HOLD -> result.causes().isEmpty() && !alone.awaits(result).isEmpty() ? 1 : 2;
            case REDO -> 3;
        };
    }

    /** The verdict's word where its mark is drawn; empty text where nobody has to act. */
    public static String mark(Soil soil) {
        return soil.verdict().equals(Verdict.HOLD.word()) || soil.verdict().equals(Verdict.REDO.word())
                ? soil.verdict()
                : "";
    }
}
