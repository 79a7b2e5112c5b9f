package org.tenmesh.core.redo;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.redo.Balance.Place;
import org.tenmesh.core.reduction.QuantityMatch;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Follows every reading of a day to what it came to. */
public final class Balancing {
    private final Day day;
    private final MethodBook methods;
    private final Map<String, Came> cameOf = new HashMap<>();
    // Names of standards with the analytes stated of them, by method; the same of materials.
    private final Map<String, Map<String, Set<String>>> standards = new HashMap<>();
    private final Map<String, Map<String, Set<String>>> materials = new HashMap<>();

    // Positions of control soils with what was judged of them, by run.
    private final Map<String, Set<String>> valued = new HashMap<>();

    private Balancing(Day day, Standing standing, MethodBook methods) {
        this.day = day;
        this.methods = methods;
        standing.standing().forEach(result -> came(result).standing(result));
        standing.superseded().forEach(result -> came(result).superseded(result));
        standing.judged()
                .controlValues()
                .forEach(one -> valued.computeIfAbsent(one.run(), run -> new HashSet<>())
                        .add(one.position() + " " + one.analyte()));
        day.standards()
                .forEach(one -> stated(standards, one.method(), one.standard()).add(one.analyte()));
        day.materials()
                .forEach(one -> stated(materials, one.method(), one.material()).add(one.analyte()));
    }

    /**
     * The account of a judged day.
     *
     * @param methods those by which it was judged
     */
    public static Balance of(Day day, Standing standing, MethodBook methods) {
        List<String> errors = new ArrayList<>();
        List<Balance.OfRun> runs = new ArrayList<>();
        Balancing balancing = new Balancing(day, standing, methods);
        day.runs().forEach(run -> runs.add(balancing.of(run, errors)));
        return new Balance(runs, errors);
    }

    private Came came(Result result) {
        return cameOf.computeIfAbsent(result.run(), run -> new Came());
    }

    private static Set<String> stated(Map<String, Map<String, Set<String>>> all, String method, String name) {
        return all.computeIfAbsent(method, key -> new HashMap<>()).computeIfAbsent(name, key -> new HashSet<>());
    }

    /** The results of one run: positions by analyte, and the soils that have any. */
    private static final class Came {
        private final Map<String, BitSet> standing = new HashMap<>();
        private final BitSet anyStanding = new BitSet();
        private final BitSet superseded = new BitSet();
        private final Set<String> soils = new HashSet<>();

        void standing(Result result) {
            if (result.position() > 0) {
                standing.computeIfAbsent(result.analyte(), analyte -> new BitSet())
                        .set(result.position());
                anyStanding.set(result.position());
            }
            soils.add(result.labNumber().text());
        }

        void superseded(Result result) {
            superseded.set(result.position());
            soils.add(result.labNumber().text());
        }

        boolean stands(int position, Optional<String> analyte) {
            return analyte.map(symbol ->
                            standing.getOrDefault(symbol, new BitSet()).get(position))
                    .orElse(anyStanding.get(position));
        }
    }

    private Balance.OfRun of(Run run, List<String> errors) {
        Optional<Method> method = methods.find(run.method(), day.dateOf(run));
        Came came = cameOf.getOrDefault(run.run(), new Came());
        OneRun one = new OneRun(run, came);
        method.filter(found -> !found.unitsRead().isEmpty())
                .ifPresentOrElse(one::follow, () -> one.allAside("the method " + run.method() + " reads nothing"));
        int placed = one.places.values().stream().mapToInt(Integer::intValue).sum();
        if (placed != run.readings().size()) {
            errors.add(
                    "run " + run.run() + ": of " + run.readings().size() + " readings " + placed + " came to a place");
        }
        BitSet without = new BitSet();
        without.or(came.anyStanding);
        without.or(came.superseded);
        without.andNot(one.soils);
        without.clear(0);
        if (!without.isEmpty()) {
            errors.add("run " + run.run() + ": a result of position " + without.nextSetBit(0)
                    + ", where no soil was read");
        }
        return new Balance.OfRun(run.run(), run.readings().size(), one.places, one.aside());
    }

    /** One run on its way through. */
    private final class OneRun {
        private final Run run;
        private final Came came;
        private final Map<Place, Integer> places = new EnumMap<>(Place.class);
        private final Map<String, int[]> reasons = new LinkedHashMap<>();
        private final BitSet soils = new BitSet();

        OneRun(Run run, Came came) {
            this.run = run;
            this.came = came;
        }

        void allAside(String reason) {
            Readings readings = run.readings();
            for (int i = 0; i < readings.size(); i++) {
                aside(readings.position(i), reason);
            }
        }

        void follow(Method method) {
            Readings readings = QuantityMatch.of(method, run.readings()).readings();
            Set<String> known = method.unitsRead().keySet();
            List<Optional<String>> analytes = new ArrayList<>();
            List<Optional<String>> refused = new ArrayList<>();
            for (String quantity : readings.quantities()) {
                Optional<Line> used = used(method, quantity, readings);
                analytes.add(used.map(Line::element));
                refused.add(refused(method, quantity, known, used));
            }
            Set<String> firstPortions = new HashSet<>();
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) == Role.SAMPLE) {
                    firstPortions.add(readings.identity(i));
                    soils.set(readings.position(i));
                }
            }
            for (int i = 0; i < readings.size(); i++) {
                int quantity = readings.quantityCode(i);
                int position = readings.position(i);
                Role role = readings.role(i);
                if (refused.get(quantity).isPresent()) {
                    aside(position, refused.get(quantity).get());
                } else if (!Reduction.roles(method).contains(role)) {
                    aside(position, "role " + role.word() + ", which method " + method.id() + " does not use");
                } else {
                    place(method, readings, i, analytes.get(quantity), firstPortions);
                }
            }
        }

        private void place(
                Method method, Readings readings, int i, Optional<String> analyte, Set<String> firstPortions) {
            String identity = readings.identity(i);
            int position = readings.position(i);
            switch (readings.role(i)) {
                case STANDARD -> known(standards, method, identity, analyte, position, Place.STANDARD);
                case VERIFICATION -> {
                    if (method.carryOverSolutions().contains(identity)) {
                        to(Place.CHECK);
                    } else {
                        known(standards, method, identity, analyte, position, Place.CHECK);
                    }
                }
                case CONTROL -> control(method, identity, analyte, position);
                case BLANK -> to(Place.BLANK);
                case WASH -> to(Place.WASH);
                case DUPLICATE -> {
                    if (firstPortions.contains(identity)) {
                        to(Place.DUPLICATE);
                    } else {
                        aside(position, "a second portion of a soil of which this run read no first one");
                    }
                }
                case SAMPLE -> {
                    if (came.stands(position, analyte)) {
                        to(Place.RESULT);
                    } else if (came.superseded.get(position) || came.soils.contains(identity)) {
                        to(Place.SUPERSEDED);
                    } else {
                        aside(position, "a soil of which no result came");
                    }
                }
            }
        }

        private void control(Method method, String identity, Optional<String> analyte, int position) {
            Set<String> judged = valued.getOrDefault(run.run(), Set.of());
            Set<String> stated = materials.getOrDefault(method.id(), Map.of()).getOrDefault(identity, Set.of());
            boolean any = analyte.map(symbol -> judged.contains(position + " " + symbol))
                    .orElseGet(() -> stated.stream().anyMatch(symbol -> judged.contains(position + " " + symbol)));
            if (any || analyte.map(symbol -> !stated.contains(symbol)).orElse(stated.isEmpty())) {
                known(materials, method, identity, analyte, position, Place.CONTROL);
            } else {
                aside(position, "a control soil " + identity + " without a value that could be judged");
            }
        }

        private void known(
                Map<String, Map<String, Set<String>>> all,
                Method method,
                String identity,
                Optional<String> analyte,
                int position,
                Place place) {
            Set<String> stated = all.getOrDefault(method.id(), Map.of()).getOrDefault(identity, Set.of());
            if (analyte.map(stated::contains).orElse(!stated.isEmpty())) {
                to(place);
            } else {
                aside(
                        position,
                        "no stated " + analyte.orElse("value") + " of "
                                + (place == Place.CONTROL ? "the material " : "the solution ") + identity
                                + " under method " + method.id());
            }
        }

        private void to(Place place) {
            places.merge(place, 1, Integer::sum);
        }

        private void aside(int position, String reason) {
            to(Place.SET_ASIDE);
            reasons.computeIfAbsent(reason, key -> new int[] {0, position})[0]++;
        }

        List<Balance.SetAside> aside() {
            List<Balance.SetAside> all = new ArrayList<>();
            reasons.forEach((reason, its) -> all.add(new Balance.SetAside(run.run(), its[0], its[1], reason)));
            return all;
        }
    }

    // The line that gives an element's result: the preferred one, else the first of those read.
    private static Optional<Line> used(Method method, String quantity, Readings readings) {
        List<Line> read = method.lines().stream()
                .filter(line -> readings.quantityCode(line.quantity()) >= 0)
                .toList();
        return read.stream()
                .filter(line -> line.quantity().equals(quantity))
                .filter(own -> read.stream()
                        .filter(line -> line.element().equals(own.element()))
                        .min(Comparator.comparing(line -> line.preferred() ? 0 : 1))
                        .filter(own::equals)
                        .isPresent())
                .findFirst();
    }

    private static Optional<String> refused(Method method, String quantity, Set<String> known, Optional<Line> used) {
        if (!known.contains(quantity)) {
            return Optional.of("`" + quantity + "`, which is not in method " + method.id());
        }
        boolean internal = method.internalStandard().equals(Optional.of(quantity));
        return !method.lines().isEmpty() && !internal && used.isEmpty()
                ? Optional.of("`" + quantity + "`, beside the line that method " + method.id() + " prefers")
                : Optional.empty();
    }
}
