package org.tenmesh.core.bench;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.methods.BenchStep.Doing;

/**
 * What was done with a rack from its loading until it was laid out, by the clocks of the devices: a note that comes late counts where it belongs.
 *
 * @param acts in the order of the devices' clocks, without those that were taken back
 */
public record RackRound(String rack, List<BenchAct> acts) {
    public RackRound {
        acts = List.copyOf(acts);
    }

    /**
     * The rounds of every rack, those of one rack in their order.
     *
     * @param acts about racks, others are passed over, in the order in which they were stored
     */
    public static List<RackRound> of(List<BenchAct> acts) {
        Map<String, List<BenchAct>> racks = new LinkedHashMap<>();
        BenchWork.counted(acts).stream()
                .filter(act -> act.subject().kind() == Subject.Kind.RACK)
                .sorted(Comparator.comparing(BenchAct::deviceAt))
                .forEach(act -> racks.computeIfAbsent(act.subject().code(), code -> new ArrayList<>())
                        .add(act));
        List<RackRound> rounds = new ArrayList<>();
        racks.forEach((rack, its) -> rounds.addAll(of(rack, its)));
        return rounds;
    }

    private static List<RackRound> of(String rack, List<BenchAct> acts) {
        List<List<BenchAct>> rounds = new ArrayList<>();
        List<BenchAct> round = new ArrayList<>();
        for (BenchAct act : acts) {
            // Soil is ground before it is laid out: where a device's clock says otherwise, the clock is wrong.
            boolean late = isGround(act)
                    && round.isEmpty()
                    && !rounds.isEmpty()
                    && rounds.get(rounds.size() - 1).stream().noneMatch(RackRound::isGround);
            if (late) {
                rounds.get(rounds.size() - 1).add(act);
                continue;
            }
            round.add(act);
            if (act.what() == BenchAct.What.DONE && act.step().endsWith("." + Doing.LAY_OUT.word())) {
                rounds.add(round);
                round = new ArrayList<>();
            }
        }
        if (!round.isEmpty()) {
            rounds.add(round);
        }
        return rounds.stream().map(its -> new RackRound(rack, its)).toList();
    }

    static boolean isGround(BenchAct act) {
        return act.step().equals(Rack.GRIND) && (act.what() == BenchAct.What.DONE || act.what() == BenchAct.What.BEGUN);
    }

    /** What lay on it. */
    public List<Rack.Load> loads() {
        return Rack.of(acts).loads();
    }

    /** What lay at a place. */
    public Optional<Rack.Load> at(int place) {
        return loads().stream()
                .filter(load -> load.place() <= place && place <= load.lastPlace())
                .findFirst();
    }

    /** Whether it was regulated when it was put there. */
    public boolean regulated() {
        return loads().stream().anyMatch(Rack.Load::regulated);
    }
}
