package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiPredicate;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudgement;

/** What all runs of a day say together that none says alone. */
final class WholeDay {
    private final Map<String, List<DayFinding>> findings = new HashMap<>();
    private final Map<String, Set<LabNumber>> disregarded = new HashMap<>();
    private final Map<LabNumber, String> materials;
    private List<GroupDifference> differences = List.of();
    private Map<String, List<Interference>> interferences = Map.of();

    private WholeDay(
            Day day,
            List<RunStage> stages,
            Map<String, References> references,
            Set<String> repeated,
            EarlierSoils earlier,
            Reuse reuse,
            Questions questions) {
        Policy policy = day.laboratory().policy();
        List<RunJudgement> runs = stages.stream().map(RunStage::judgement).toList();
        List<String> all = stages.stream().map(RunStage::name).toList();
        Optional<ControlMaterials> controls = questions.ask(
                "hidden control soils are the materials they were meant to be",
                all,
                () -> Optional.of(new ControlMaterials(day, runs, references)),
                Optional::empty);
        materials = controls.map(ControlMaterials::materials).orElse(day.controls());
        controls.ifPresent(of -> of.findings().forEach(this::add));
        Optional<DaySoils> table = questions.ask(
                "its results agree with those of other methods",
                all,
                () -> Optional.of(DaySoils.of(day, stages, repeated, earlier, reuse)),
                Optional::empty);
        if (table.isEmpty()) {
            return;
        }
        Places places = new Places(day, table.get(), stages, references, materials, repeated, reuse, questions);
        Optional<Identity> settled = questions.ask(
                "its readings are those of the soils they are recorded under, and all places read alike",
                all,
                () -> {
                    Identity identity = new Identity(
                            table.get(),
                            stages,
                            known(table.get()),
                            references,
                            policy,
                            earlier.own(),
                            reuse,
                            questions);
                    identity.settle(time -> places.readAgain(identity, time));
                    return Optional.of(identity);
                },
                Optional::empty);
        // What stopped half way may have moved readings in its table.
        Places first = settled.isPresent()
                ? places
                : new Places(
                        day,
                        DaySoils.of(day, stages, repeated, earlier, reuse),
                        stages,
                        references,
                        materials,
                        repeated,
                        reuse,
                        questions);
        settled.ifPresent(identity -> identity.findings().forEach(this::add));
        first.first(settled);
        first.findings().forEach(this::add);
        differences = first.differences();
        // Only the answer is kept: whoever was asked holds the day's soils side by side, which are many.
        interferences = first.interferences();
        BiPredicate<String, String> misplaced = Places.misplaced(settled);
        for (String name : all) {
            Set<LabNumber> apart = new HashSet<>();
            for (LabNumber lab : day.controls().keySet()) {
                if (misplaced.test(name, lab.text())) {
                    apart.add(lab);
                }
            }
            disregarded.put(name, apart);
        }
    }

    private @Nullable String[] known(DaySoils soils) {
        @Nullable String[] known = new String[soils.size()];
        materials.forEach((lab, material) -> {
            int row = soils.row(lab);
            if (row >= 0) {
                known[row] = material;
            }
        });
        return known;
    }

    /**
     * Judges the day as a whole.
     *
     * @param repeated runs that are another's readings again
     */
    static WholeDay of(
            Day day,
            List<RunStage> stages,
            Map<String, References> references,
            Set<String> repeated,
            EarlierSoils earlier,
            Reuse reuse,
            Questions questions) {
        return new WholeDay(day, stages, references, repeated, earlier, reuse, questions);
    }

    private void add(DayFinding finding) {
        findings.computeIfAbsent(finding.run(), run -> new ArrayList<>()).add(finding);
    }

    List<DayFinding> findings(String run) {
        return findings.getOrDefault(run, List.of());
    }

    /** The hidden controls with the materials they truly are. */
    Map<LabNumber, String> materials() {
        return materials;
    }

    /** Control soils of which a run read something else. */
    Set<LabNumber> disregarded(String run) {
        return disregarded.getOrDefault(run, Set.of());
    }

    /** Elements found in others' signals in a run. */
    List<Interference> interferences(String run) {
        return interferences.getOrDefault(run, List.of());
    }

    List<GroupDifference> differences() {
        return differences;
    }
}
