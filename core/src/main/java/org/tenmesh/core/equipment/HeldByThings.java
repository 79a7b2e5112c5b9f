package org.tenmesh.core.equipment;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.reduction.Run;

/** What the lots and the equipment of a day's runs had wrong when they were used, and the results that this holds. */
public final class HeldByThings {
    private final Map<String, UsedInRun> used = new HashMap<>();
    private final List<One> found = new ArrayList<>();

    /**
     * Something that was wrong with a thing in a run.
     *
     * @param letStand by which its results stand all the same
     */
    public record One(
            String run, UsedInRun.One used, Finding finding, Consequence consequence, Optional<LetStand> letStand) {
        /** Whether it holds results now. */
        public boolean holds() {
            return consequence.holds() && letStand.isEmpty();
        }
    }

    private HeldByThings() {}

    /**
     * Looks at every run of a day.
     *
     * @param name of the day
     * @param extracts whether a run's method reads an extract
     */
    public static HeldByThings of(
            Register register, List<LetStand> letStand, String name, Day day, Predicate<Run> extracts) {
        HeldByThings held = new HeldByThings();
        if (register.lots().isEmpty() && register.equipment().isEmpty()) {
            return held;
        }
        ZoneId zone = ZoneId.of(day.laboratory().zone());
        Policy policy = day.laboratory().policy();
        Map<LabNumber, String> trayOf = UsedInRun.traysOf(day);
        for (Run run : day.runs()) {
            UsedInRun uses = UsedInRun.of(register, name, trayOf, run, extracts.test(run));
            held.used.put(run.run(), uses);
            for (UsedInRun.One use : uses.used()) {
                for (Finding finding : register.findings(use.thing(), use.at(), zone)) {
                    Optional<LetStand> stands = letStand.stream()
                            .filter(one -> one.thing().equals(use.thing())
                                    && one.day().equals(name)
                                    && one.finding().equals(finding.says()))
                            .reduce((first, later) -> later);
                    held.found.add(new One(run.run(), use, finding, finding.consequence(policy), stands));
                }
            }
        }
        return held;
    }

    /** What a run was read with; empty where nothing was ever registered. */
    public Optional<UsedInRun> of(String run) {
        return Optional.ofNullable(used.get(run));
    }

    /** Everything that was wrong, run by run. */
    public List<One> found() {
        return List.copyOf(found);
    }

    /** The results, those that something wrong touches as held. */
    public List<Result> held(List<Result> results) {
        Map<String, List<One>> byRun = new HashMap<>();
        found.stream()
                .filter(One::holds)
                .forEach(one -> byRun.computeIfAbsent(one.run(), run -> new ArrayList<>())
                        .add(one));
        if (byRun.isEmpty()) {
            return results;
        }
        return results.stream().map(result -> held(result, byRun)).toList();
    }

    private static Result held(Result result, Map<String, List<One>> byRun) {
        Result now = result;
        for (One one : byRun.getOrDefault(result.run(), List.of())) {
            String key = one.used().thing().key();
            if (one.used().touches(result) && !now.causes().contains(key)) {
                now = now.heldBy(key);
            }
        }
        return now;
    }
}
