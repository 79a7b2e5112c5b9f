package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
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
    private final List<GroupDifference> differences;
    private final Interferences interferences;

    private WholeDay(
            Day day,
            List<RunStage> stages,
            Map<String, References> references,
            Set<String> repeated,
            EarlierSoils earlier,
            Reuse reuse) {
        Policy policy = day.laboratory().policy();
        List<RunJudgement> runs = stages.stream().map(RunStage::judgement).toList();
        ControlMaterials controls = new ControlMaterials(day, runs, references);
        materials = controls.materials();
        controls.findings().forEach(this::add);
        DaySoils soils = DaySoils.of(day, runs, earlier, reuse);
        @Nullable String[] known = new String[soils.size()];
        materials.forEach((lab, material) -> {
            int row = soils.row(lab);
            if (row >= 0) {
                known[row] = material;
            }
        });
        Identity identity = new Identity(soils, stages, known, references, policy, reuse);
        identity.settle();
        identity.findings().forEach(this::add);
        Groups groups = new Groups(
                soils, stages, references, materials, day.laboratory().zone(), policy, reuse);
        groups.judge(identity.agreements());
        groups.findings().forEach(this::add);
        differences = groups.differences();
        interferences =
                new Interferences(soils, stages, references, materials, repeated, identity::misplaced, policy, reuse);
        for (RunJudgement run : runs) {
            String name = run.reduced().run().run();
            Set<LabNumber> apart = new HashSet<>();
            for (LabNumber lab : day.controls().keySet()) {
                if (identity.misplaced(name, lab.text())) {
                    apart.add(lab);
                }
            }
            disregarded.put(name, apart);
        }
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
            Reuse reuse) {
        return new WholeDay(day, stages, references, repeated, earlier, reuse);
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
        return interferences.of(run);
    }

    List<GroupDifference> differences() {
        return differences;
    }
}
