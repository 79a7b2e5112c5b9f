package org.tenmesh.core.bench;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.tenmesh.core.methods.BenchStep.Doing;

/**
 * What lies on a rack between the dock and its layout, and what was done with it. A pure function of what was noted since it was laid out last.
 *
 * @param regulated whether any of it is regulated, or became so in a mill that was not cleaned after regulated soil
 * @param loads what was put on it, in order
 * @param notes weighings and coarse fragments, in order
 * @param dried the newest note that drying began; empty before
 * @param driedUntil the newest note that it ended; empty before
 * @param ground the newest note that it was ground; empty before
 */
public record Rack(
        boolean regulated,
        List<Load> loads,
        List<BenchAct> notes,
        Optional<BenchAct> dried,
        Optional<BenchAct> driedUntil,
        Optional<BenchAct> ground) {
    /** Key of the step that grinds a rack. */
    public static final String GRIND = "rack." + Doing.GRIND.word();

    private static final String DRY = "rack." + Doing.DRY.word();

    public Rack {
        loads = List.copyOf(loads);
        notes = List.copyOf(notes);
    }

    /**
     * Bags of one submission that lie side by side.
     *
     * @param place of the first of them, from 1
     */
    public record Load(String submission, int firstBag, int lastBag, int place, boolean regulated) {
        public Load {
            if (firstBag < 1 || lastBag < firstBag || place < 1) {
                throw new IllegalArgumentException("bags " + firstBag + " to " + lastBag + " from place " + place
                        + ": expected numbers from 1, the first not after the last");
            }
        }

        /** The place of the last of them. */
        public int lastPlace() {
            return place + lastBag - firstBag;
        }
    }

    /** What was noted of a rack since it was laid out last: then it begins anew. */
    public static List<BenchAct> round(List<BenchAct> acts) {
        List<BenchAct> round = new ArrayList<>();
        for (BenchAct act : acts) {
            round.add(act);
            if (act.step().endsWith("." + Doing.LAY_OUT.word()) && act.what() == BenchAct.What.DONE) {
                round.clear();
            }
        }
        return round;
    }

    /** @param round what was noted of it since it was laid out last, and is not taken back */
    public static Rack of(List<BenchAct> round) {
        List<Load> loads = new ArrayList<>();
        List<BenchAct> notes = new ArrayList<>();
        boolean regulated = false;
        Optional<BenchAct> dried = Optional.empty();
        Optional<BenchAct> driedUntil = Optional.empty();
        Optional<BenchAct> ground = Optional.empty();
        for (BenchAct act : BenchWork.counted(round)) {
            regulated |= act.measured(Measure.REGULATED) > 0;
            switch (act.what()) {
                case LOADED ->
                    loads.add(new Load(
                            act.about(),
                            (int) act.measured(Measure.FIRST_BAG),
                            (int) act.measured(Measure.LAST_BAG),
                            (int) act.measured(Measure.PLACE),
                            act.measured(Measure.REGULATED) > 0));
                case WEIGHED, COARSE -> notes.add(act);
                case BEGUN -> dried = act.step().equals(DRY) ? Optional.of(act) : dried;
                case DONE -> {
                    driedUntil = act.step().equals(DRY) ? Optional.of(act) : driedUntil;
                    ground = act.step().equals(GRIND) ? Optional.of(act) : ground;
                }
                default -> {}
            }
        }
        return new Rack(regulated, loads, notes, dried, driedUntil, ground);
    }

    /**
     * Why bags cannot be put on it; empty when they can.
     *
     * @param uncleaned the regulated soil that lay on it and after which it was not cleaned; empty when there is none
     */
    public Optional<String> refusal(Load load, Optional<BenchAct> uncleaned) {
        if (ground.isPresent()) {
            return Optional.of("What lies on it is ground already: lay it out first.");
        }
        if (!loads.isEmpty() && regulated != load.regulated()) {
            return Optional.of(
                    regulated
                            ? "It holds regulated soil: ordinary soil goes on another rack."
                            : "It holds ordinary soil: regulated soil goes on another rack.");
        }
        if (!load.regulated() && uncleaned.isPresent()) {
            return Optional.of(
                    "Regulated soil lay on it, and its cleaning is not noted: clean it and note that, or take another rack.");
        }
        for (Load one : loads) {
            if (load.place() <= one.lastPlace() && one.place() <= load.lastPlace()) {
                return Optional.of("Places " + load.place() + " to " + load.lastPlace() + " are not free: "
                        + one.submission() + " lies on " + one.place() + " to " + one.lastPlace() + ".");
            }
            if (one.submission().equals(load.submission())
                    && load.firstBag() <= one.lastBag()
                    && one.firstBag() <= load.lastBag()) {
                return Optional.of("Bags " + one.firstBag() + " to " + one.lastBag() + " of " + one.submission()
                        + " lie on it already.");
            }
        }
        return Optional.empty();
    }

    /** Whether it is dry, as far as weighings tell. */
    public enum Dryness {
        NOT_WEIGHED("not weighed twice"),
        NOT_DRY("not dry yet"),
        /** Heavier than before: another sample was weighed, or the balance reads otherwise. */
        GAINED("heavier than before: weigh again"),
        DRY("dry");

        private final String phrase;

        Dryness(String phrase) {
            this.phrase = phrase;
        }

        public String phrase() {
            return phrase;
        }
    }

    /**
     * What the weighings say, place by place: the newest against the newest that is at least so much older. The loss is counted for 24 hours. The
     * worst place decides.
     *
     * @param mostPctPerDay largest loss of a dry soil in 24 h, % of its newest mass
     * @param leastBetween two weighings that are nearer than this say nothing
     */
    public Dryness dryness(double mostPctPerDay, Duration leastBetween) {
        Map<Integer, List<BenchAct>> byPlace = new TreeMap<>();
        notes.stream()
                .filter(act -> act.what() == BenchAct.What.WEIGHED)
                .sorted(Comparator.comparing(Rack::weighedAt))
                .forEach(act -> byPlace.computeIfAbsent((int) act.measured(Measure.PLACE), place -> new ArrayList<>())
                        .add(act));
        Dryness worst = byPlace.isEmpty() ? Dryness.NOT_WEIGHED : Dryness.DRY;
        for (List<BenchAct> weighed : byPlace.values()) {
            Dryness one = dryness(weighed, mostPctPerDay, leastBetween);
            worst = one.compareTo(worst) < 0 ? one : worst;
        }
        return worst;
    }

    private static Dryness dryness(List<BenchAct> weighed, double mostPctPerDay, Duration leastBetween) {
        BenchAct newest = weighed.get(weighed.size() - 1);
        Instant before = weighedAt(newest).minus(leastBetween);
        Optional<BenchAct> earlier =
                weighed.stream().filter(act -> !weighedAt(act).isAfter(before)).reduce((first, last) -> last);
        if (earlier.isEmpty()) {
            return Dryness.NOT_WEIGHED;
        }
        double mass = newest.measured(Measure.MASS_G);
        double days =
                Duration.between(weighedAt(earlier.get()), weighedAt(newest)).toSeconds() / 86_400.0;
        double lossPctPerDay = 100 * (earlier.get().measured(Measure.MASS_G) - mass) / mass / days;
        if (lossPctPerDay < -mostPctPerDay) {
            return Dryness.GAINED;
        }
        return lossPctPerDay <= mostPctPerDay ? Dryness.DRY : Dryness.NOT_DRY;
    }

    /** By the device, but not later than it was stored: a tablet whose clock runs ahead makes nothing dry earlier. */
    private static Instant weighedAt(BenchAct act) {
        return act.deviceAt().isAfter(act.storedAt()) ? act.storedAt() : act.deviceAt();
    }

    /** Coarse fragments of a place, % of the mass that was sieved; of a note that holds both. */
    public static double coarsePct(BenchAct note) {
        double whole = note.measured(Measure.MASS_G);
        return 100 * note.measured(Measure.COARSE_G) / whole;
    }
}
