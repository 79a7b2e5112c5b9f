package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiPredicate;
import java.util.function.Predicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.References;

/**
 * Whether every place of the day read alike: probes, balances, instruments, and lines that hold another element's signal. Each soil's first
 * readings are asked first; what was read again is asked by itself, as it was put right, so that a probe which read only redos is asked too, and
 * a finding does not go away because it was acted on.
 */
final class Places {
    private final Day day;
    private final DaySoils soils;
    private final List<RunStage> stages;
    private final Map<String, References> references;
    private final Map<LabNumber, String> materials;
    private final Set<String> repeated;
    private final Reuse reuse;
    private final Questions questions;
    private final List<DayFinding> findings = new ArrayList<>();
    private List<GroupDifference> differences = List.of();
    private final Map<String, List<Interference>> interferences = new HashMap<>();

    /** @param repeated runs that are another's readings again */
    Places(
            Day day,
            DaySoils soils,
            List<RunStage> stages,
            Map<String, References> references,
            Map<LabNumber, String> materials,
            Set<String> repeated,
            Reuse reuse,
            Questions questions) {
        this.day = day;
        this.soils = soils;
        this.stages = stages;
        this.references = references;
        this.materials = materials;
        this.repeated = repeated;
        this.reuse = reuse;
        this.questions = questions;
    }

    /**
     * Asks of the readings made again, which lie in the table now.
     *
     * @param time 1 when they are second ones
     */
    void readAgain(Identity identity, int time) {
        Predicate<MethodSoils> again = method -> method.time() == time;
        groups(identity, again).ifPresent(groups -> findings.addAll(groups.findings()));
        interferences(Optional.of(identity), again);
    }

    /**
     * Asks of the first readings.
     *
     * @param settled empty where nobody knows whose readings they are; then places are not compared
     */
    void first(Optional<Identity> settled) {
        settled.flatMap(identity -> groups(identity, method -> true)).ifPresent(groups -> {
            findings.addAll(0, groups.findings());
            differences = groups.differences();
        });
        interferences(settled, method -> true);
    }

    private Optional<Groups> groups(Identity identity, Predicate<MethodSoils> asked) {
        return questions.ask(
                "all places read alike",
                stages.stream().map(RunStage::name).toList(),
                () -> {
                    Groups groups = new Groups(
                            soils,
                            stages,
                            references,
                            materials,
                            day.laboratory().zone(),
                            day.laboratory().policy(),
                            reuse,
                            questions);
                    groups.judge(identity.agreements(), asked);
                    return Optional.of(groups);
                },
                Optional::<Groups>empty);
    }

    // A run goes by what it read for the first time; one that read redos alone by those.
    private void interferences(Optional<Identity> settled, Predicate<MethodSoils> asked) {
        Interferences of = new Interferences(
                soils,
                stages,
                references,
                materials,
                repeated,
                misplaced(settled),
                asked,
                day.laboratory().policy(),
                reuse,
                questions);
        for (MethodSoils method : soils.methods()) {
            if (asked.test(method)) {
                for (RunStage stage : stages) {
                    boolean here = stage.method().id().equals(method.method.id())
                            && (method.time() == 0 && !readsAgainAlone(method, stage) || reads(method, stage));
                    if (here) {
                        interferences.put(stage.name(), of.of(stage.name()));
                    }
                }
            }
        }
    }

    private boolean reads(MethodSoils method, RunStage stage) {
        return method.orders.keySet().stream().anyMatch(run -> stages.get(run) == stage);
    }

    // A run without any soil has its control soils, which say something too.
    private boolean readsAgainAlone(MethodSoils method, RunStage stage) {
        return !reads(method, stage) && interferences.containsKey(stage.name());
    }

    static BiPredicate<String, String> misplaced(Optional<Identity> settled) {
        return (run, lab) ->
                settled.map(identity -> identity.misplaced(run, lab)).orElse(false);
    }

    /** What was found, of first readings before those made again. */
    List<DayFinding> findings() {
        return findings;
    }

    /** Differences between places by the first readings. */
    List<GroupDifference> differences() {
        return differences;
    }

    /** Elements found in others' signals, by run. */
    Map<String, List<Interference>> interferences() {
        return interferences;
    }
}
