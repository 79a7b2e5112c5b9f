package org.tenmesh.app.living;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.UUID;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchAct.What;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Subject;

/** The racks of the invented laboratory: one that was filled yesterday and lay to dry overnight, and the one that today's bags go on. */
public final class EarlierRack {
    static final String YESTERDAY = "R-100";
    static final String TODAY = "R-101";
    static final String MILL = "MILL-1";
    /** What two places weigh when the rack is taken out; a tenth of a gram less than at their earlier weighing. */
    static final Map<Integer, Double> MASSES_NOW_G = new TreeMap<>(Map.of(1, 212.4, 5, 198.6));

    private static final double DRIED_AWAY_G = 0.1;
    private static final Duration FILLED_BEFORE = Duration.ofHours(18);
    private static final Duration DRIES_SINCE = Duration.ofHours(17);
    private static final Duration WEIGHED_BEFORE = Duration.ofHours(5);

    private EarlierRack() {}

    /**
     * What was noted of the rack before the day begins.
     *
     * @param submission that lies on it, with all its bags
     * @param dock who filled it
     * @param bench who dries it
     */
    public static List<BenchAct> of(String submission, int bags, String dock, String bench, Instant now) {
        List<BenchAct> acts = new ArrayList<>();
        acts.add(act(
                "",
                What.LOADED,
                submission,
                dock,
                now.minus(FILLED_BEFORE),
                Map.of(
                        Measure.FIRST_BAG, 1.0,
                        Measure.LAST_BAG, (double) bags,
                        Measure.PLACE, 1.0,
                        Measure.REGULATED, 0.0)));
        acts.add(act("rack.dry", What.BEGUN, "", bench, now.minus(DRIES_SINCE), Map.of(Measure.TEMPERATURE_C, 38.0)));
        MASSES_NOW_G.forEach((place, mass) -> acts.add(act(
                "",
                What.WEIGHED,
                "",
                bench,
                now.minus(WEIGHED_BEFORE),
                Map.of(Measure.PLACE, (double) place, Measure.MASS_G, mass + DRIED_AWAY_G))));
        return acts;
    }

    private static BenchAct act(
            String step, What what, String about, String person, Instant at, Map<Measure, Double> measured) {
        return new BenchAct(
                UUID.randomUUID().toString(),
                Subject.rack(YESTERDAY),
                step,
                what,
                about,
                "",
                person,
                what == What.LOADED ? "dock" : "page",
                at,
                at,
                measured);
    }
}
