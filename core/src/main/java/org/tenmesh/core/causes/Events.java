package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.layout.Tray;

/**
 * Makes causes of what was found: joins what one event did, and gives each event its lasting key.
 *
 * <p>Joined are
 * <ul>
 *   <li>stretches of one run with the same kind and a common analyte, when they touch a common determination, or when the same channels
 *       read them and no soil lies between: a drift that redoes one stretch and holds another, a run that ends too early;
 *   <li>what the whole day shows of one method with the same evidence in several runs: a probe that differs, a tray split over two runs;
 *   <li>the same move of the same soils under several methods: a tray that was turned before its portions were taken. The same soils are
 *       at least half of the smaller number of the two.
 * </ul>
 */
final class Events {
    private static final Set<CauseKind> ALONG_A_RUN = EnumSet.of(
            CauseKind.DRIFT,
            CauseKind.VERIFICATION_FAILED,
            CauseKind.BLANK_HIGH,
            CauseKind.CONTROL_FAILED,
            CauseKind.INTERNAL_STANDARD_LOST,
            CauseKind.TRUNCATED_RUN,
            CauseKind.MISSING_READING);
    private static final Set<CauseKind> MOVES =
            EnumSet.of(CauseKind.TRAY_TURNED, CauseKind.TRAYS_EXCHANGED, CauseKind.NEIGHBOURS_EXCHANGED);
    private static final int MOST_TRAYS = 2;

    private final List<Found> found;
    private final List<List<Result>> touched = new ArrayList<>();
    private final int[] event;
    private final Map<String, TreeSet<Integer>> soilPositions = new HashMap<>();
    private final Map<LabNumber, String> trayOf = new HashMap<>();

    private Events(Day day, Judging judging) {
        this.found = judging.found();
        this.event = new int[found.size()];
        Map<String, Integer> index = new HashMap<>();
        for (int i = 0; i < found.size(); i++) {
            event[i] = i;
            touched.add(new ArrayList<>());
            if (index.put(found.get(i).name(), i) != null) {
                throw new IllegalStateException(
                        "two findings of a day are named " + found.get(i).name());
            }
            if (ALONG_A_RUN.contains(found.get(i).kind())) {
                soilPositions.computeIfAbsent(found.get(i).run(), run -> new TreeSet<>());
            }
        }
        for (Result result : judging.results()) {
            TreeSet<Integer> positions = soilPositions.get(result.run());
            if (positions != null && result.position() > 0) {
                positions.add(result.position());
            }
            for (String name : result.causes()) {
                Integer at = index.get(name);
                if (at == null) {
                    throw new IllegalStateException(
                            "result of " + result.labNumber() + " names " + name + ", which was not found");
                }
                touched.get(at).add(result);
            }
        }
        for (Tray tray : day.trays()) {
            tray.wells().forEach(place -> place.labNumber().ifPresent(lab -> trayOf.put(lab, tray.tray())));
        }
    }

    /** The causes of a day, costliest first, and its results with their keys. */
    static Keyed keyed(Day day, Judging judging) {
        return new Events(day, judging).keyed(judging.results());
    }

    /**
     * @param results with the keys of what touches them as causes
     */
    record Keyed(List<Result> results, List<Cause> causes) {}

    private Keyed keyed(List<Result> results) {
        join();
        Map<Integer, List<Integer>> byEvent = new TreeMap<>();
        for (int i = 0; i < event.length; i++) {
            byEvent.computeIfAbsent(root(i), root -> new ArrayList<>()).add(i);
        }
        Map<String, String> keyOf = new HashMap<>();
        Map<String, List<Integer>> byKey = new LinkedHashMap<>();
        List<Cause> causes = new ArrayList<>();
        byEvent.values().forEach(parts -> {
            String key = cause(parts).id();
            byKey.computeIfAbsent(key, same -> new ArrayList<>()).addAll(parts);
        });
        // What cannot be told from another one by anything it touches or says is the same event.
        byKey.forEach((key, parts) -> {
            Cause cause = cause(parts);
            causes.add(cause);
            parts.forEach(part -> keyOf.put(found.get(part).name(), cause.id()));
        });
        causes.sort(JudgedDay.COSTLIEST_FIRST);
        List<Result> keyed = new ArrayList<>(results.size());
        Map<List<String>, List<String>> known = new IdentityHashMap<>();
        for (Result result : results) {
            keyed.add(
                    result.causes().isEmpty()
                            ? result
                            : result.withCauses(known.computeIfAbsent(result.causes(), names -> keys(names, keyOf))));
        }
        return new Keyed(keyed, causes);
    }

    private static List<String> keys(List<String> names, Map<String, String> keyOf) {
        return names.stream()
                .map(name -> keyOf.getOrDefault(name, name))
                .distinct()
                .toList();
    }

    private void join() {
        Map<String, List<Integer>> candidates = new HashMap<>();
        for (int i = 0; i < found.size(); i++) {
            Found one = found.get(i);
            if (ALONG_A_RUN.contains(one.kind())) {
                candidates
                        .computeIfAbsent("run " + one.kind() + one.run(), key -> new ArrayList<>())
                        .add(i);
            }
            if (one.ofTheDay()) {
                candidates
                        .computeIfAbsent("day " + one.kind() + one.method() + one.evidence(), key -> new ArrayList<>())
                        .add(i);
            }
            if (MOVES.contains(one.kind())) {
                candidates
                        .computeIfAbsent("move " + one.kind(), key -> new ArrayList<>())
                        .add(i);
            }
        }
        candidates.values().forEach(alike -> {
            for (int i = 0; i < alike.size(); i++) {
                for (int j = 0; j < i; j++) {
                    if (oneEvent(alike.get(i), alike.get(j))) {
                        event[root(alike.get(i))] = root(alike.get(j));
                    }
                }
            }
        });
    }

    private int root(int i) {
        int root = i;
        while (event[root] != root) {
            root = event[root];
        }
        return root;
    }

    private boolean oneEvent(int i, int j) {
        Found one = found.get(i);
        Found two = found.get(j);
        if (one.run().equals(two.run())) {
            return ALONG_A_RUN.contains(one.kind())
                    && !Collections.disjoint(one.analytes(), two.analytes())
                    && (shareResults(i, j) || adjoin(i, j));
        }
        if (one.method().equals(two.method())) {
            return one.ofTheDay() && two.ofTheDay() && one.evidence().equals(two.evidence());
        }
        return MOVES.contains(one.kind()) && sameSoils(i, j);
    }

    private boolean shareResults(int i, int j) {
        Set<Result> first = Collections.newSetFromMap(new IdentityHashMap<>());
        first.addAll(touched.get(i));
        return touched.get(j).stream().anyMatch(first::contains);
    }

    private boolean adjoin(int i, int j) {
        Found early = found.get(i).firstPosition() <= found.get(j).firstPosition() ? found.get(i) : found.get(j);
        Found late = early == found.get(i) ? found.get(j) : found.get(i);
        Set<String> one = channels(i);
        Set<String> two = channels(j);
        if (early.firstPosition() <= 0 || !one.isEmpty() && !two.isEmpty() && !one.equals(two)) {
            return false;
        }
        Integer next = soilPositions.getOrDefault(early.run(), new TreeSet<>()).higher(early.lastPosition());
        return next == null || next >= late.firstPosition();
    }

    private Set<String> channels(int i) {
        return touched.get(i).stream()
                .filter(result -> result.position() > 0)
                .map(Result::channel)
                .filter(channel -> !channel.isEmpty())
                .collect(Collectors.toSet());
    }

    private boolean sameSoils(int i, int j) {
        Set<LabNumber> one = labNumbers(i);
        Set<LabNumber> two = labNumbers(j);
        int smaller = Math.min(one.size(), two.size());
        one.retainAll(two);
        return !one.isEmpty() && 2 * one.size() >= smaller;
    }

    private Set<LabNumber> labNumbers(int i) {
        return touched.get(i).stream().map(Result::labNumber).collect(Collectors.toCollection(HashSet::new));
    }

    private Cause cause(List<Integer> parts) {
        List<Stretch> stretches = new ArrayList<>();
        Set<Result> all = Collections.newSetFromMap(new IdentityHashMap<>());
        Set<String> actions = new LinkedHashSet<>();
        OptionalDouble odds = OptionalDouble.empty();
        Optional<Finding.RunnerUp> runnerUp = Optional.empty();
        List<Integer> worstFirst = new ArrayList<>(parts);
        worstFirst.sort((i, j) -> found.get(j).verdict().compareTo(found.get(i).verdict()));
        for (int part : worstFirst) {
            Found one = found.get(part);
            stretches.add(new Stretch(
                    one.run(),
                    one.method(),
                    one.verdict(),
                    one.analytes(),
                    one.firstPosition(),
                    one.lastPosition(),
                    touched.get(part).stream().map(ResultKey::of).toList(),
                    one.evidence(),
                    one.measures()));
            all.addAll(touched.get(part));
            actions.add(one.action());
            if (one.log10Odds().isPresent()
                    && (odds.isEmpty() || one.log10Odds().getAsDouble() > odds.getAsDouble())) {
                odds = one.log10Odds();
            }
            runnerUp = runnerUp.isPresent() ? runnerUp : one.runnerUp();
        }
        CauseKind kind = found.get(parts.get(0)).kind();
        return Cause.of(kind, place(kind, stretches, all), stretches, String.join(" ", actions), odds, runnerUp, all);
    }

    private String place(CauseKind kind, List<Stretch> stretches, Set<Result> all) {
        if (MOVES.contains(kind)) {
            Set<String> trays = new TreeSet<>();
            all.forEach(result ->
                    Optional.ofNullable(trayOf.get(result.labNumber())).ifPresent(trays::add));
            if (!trays.isEmpty() && trays.size() <= MOST_TRAYS) {
                return String.join("+", trays);
            }
        }
        TreeSet<String> runs = stretches.stream().map(Stretch::run).collect(Collectors.toCollection(TreeSet::new));
        return runs.first() + (runs.size() > 1 ? "+" + (runs.size() - 1) : "");
    }
}
