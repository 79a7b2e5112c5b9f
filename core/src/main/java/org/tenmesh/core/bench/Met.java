package org.tenmesh.core.bench;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Ordinary soil that met regulated soil in a mill. A pure function of everything that was noted of racks and mills, by the clocks of the devices: it
 * does not matter which note came first.
 *
 * @param round what lay on the rack
 * @param ground the first note by which it met regulated soil
 * @param before the regulated soil that was in the mill; empty where the note itself says so and no other note shows why
 * @param from the submissions of that soil
 */
public record Met(RackRound round, BenchAct ground, Optional<BenchAct> before, Set<String> from) {
    public Met {
        from = Set.copyOf(from);
    }

    /** In one sentence without its end, for people. */
    public String because() {
        return "Ground on rack " + round.rack() + " in mill "
                + (ground.about().isEmpty() ? "(not said which)" : ground.about())
                + ", which was not cleaned after regulated soil"
                + before.map(act -> " of rack " + act.subject().code()).orElse("");
    }

    /**
     * Every round of a rack whose soil was ordinary and met regulated soil, in the order in which that happened.
     *
     * @param acts about racks and mills, in the order in which they were stored
     */
    public static List<Met> of(List<BenchAct> acts) {
        List<BenchAct> counted = BenchWork.counted(acts);
        Map<BenchAct, RackRound> rounds = new IdentityHashMap<>();
        List<BenchAct> order = new ArrayList<>();
        for (RackRound round : RackRound.of(acts)) {
            for (BenchAct act : round.acts()) {
                if (RackRound.isGround(act)) {
                    rounds.put(act, round);
                    order.add(act);
                }
            }
        }
        counted.stream()
                .filter(act ->
                        act.what() == BenchAct.What.CLEANED && act.subject().kind() == Subject.Kind.EQUIPMENT)
                .forEach(order::add);
        // At the same moment cleaning counts first, so that it cleans only what was there before it.
        order.sort(Comparator.comparing(BenchAct::deviceAt).thenComparing(act -> act.what() != BenchAct.What.CLEANED));
        return follow(order, rounds);
    }

    private static List<Met> follow(List<BenchAct> order, Map<BenchAct, RackRound> rounds) {
        Map<String, BenchAct> dirty = new HashMap<>();
        Map<String, BenchAct> cleaned = new HashMap<>();
        List<BenchAct> anywhere = new ArrayList<>();
        Set<RackRound> met = new HashSet<>();
        List<Met> all = new ArrayList<>();
        for (BenchAct act : order) {
            RackRound round = rounds.get(act);
            if (round == null) {
                dirty.remove(act.subject().code());
                cleaned.put(act.subject().code(), act);
                continue;
            }
            String mill = act.about();
            if (!round.regulated() && !met.contains(round)) {
                // Regulated soil of which nobody said in which mill may have been in any that was not cleaned since.
                Optional<BenchAct> before = Optional.ofNullable(dirty.get(mill))
                        .or(() -> anywhere.stream()
                                .filter(soil -> !cleaned.containsKey(mill)
                                        || soil.deviceAt()
                                                .isAfter(cleaned.get(mill).deviceAt()))
                                .reduce((first, last) -> last));
                if (before.isEmpty() && act.measured(Measure.REGULATED) == 0) {
                    continue;
                }
                met.add(round);
                all.add(new Met(
                        round,
                        act,
                        before,
                        before.map(rounds::get).stream()
                                .flatMap(its -> its.loads().stream())
                                .map(Rack.Load::submission)
                                .collect(Collectors.toSet())));
            }
            if (mill.isEmpty()) {
                anywhere.add(act);
            } else {
                dirty.put(mill, act);
            }
        }
        return all;
    }
}
