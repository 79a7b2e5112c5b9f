package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.quantity.Times;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;

/**
 * Whether each hidden control soil is the material it was meant to be. What lies in its well shows in every method at once, so all
 * methods together are asked which of the laboratory's materials it is: t densities about their established values.
 */
final class ControlMaterials {
    private static final double LOG10_E = 1 / Math.log(10);

    private final Map<LabNumber, String> truly = new HashMap<>();
    private final List<DayFinding> findings = new ArrayList<>();
    private final Policy policy;
    private final double freedom;

    /** What one run read of one control soil. */
    private record Seen(int run, Determination determination) {}

    ControlMaterials(Day day, List<RunJudgement> runs, Map<String, References> references) {
        policy = day.laboratory().policy();
        freedom = policy.number(Setting.CONTROL_MATERIAL_FREEDOM);
        truly.putAll(day.controls());
        if (day.controls().isEmpty()) {
            return;
        }
        Set<String> names = new TreeSet<>();
        for (Material material : day.materials()) {
            names.add(material.material());
        }
        Map<LabNumber, List<Seen>> seen = new LinkedHashMap<>();
        Set<String> hidden = new HashSet<>();
        day.controls().keySet().forEach(lab -> hidden.add(lab.text()));
        for (int r = 0; r < runs.size(); r++) {
            for (RunJudgement.Judged judged : runs.get(r).determinations()) {
                Determination d = judged.determination();
                if (hidden.contains(d.identity())
                        && d.flaw() == Flaw.NONE
                        && Double.isFinite(d.amount().raw())) {
                    seen.computeIfAbsent(new LabNumber(d.identity()), lab -> new ArrayList<>())
                            .add(new Seen(r, d));
                }
            }
        }
        seen.forEach((lab, all) -> judge(lab, all, names, runs, references));
    }

    /** The hidden controls with the materials they truly are. */
    Map<LabNumber, String> materials() {
        return truly;
    }

    List<DayFinding> findings() {
        return findings;
    }

    private void judge(
            LabNumber lab,
            List<Seen> all,
            Set<String> names,
            List<RunJudgement> runs,
            Map<String, References> references) {
        String meant = truly.getOrDefault(lab, "");
        @Nullable Fit intended = fit(meant, all, runs, references);
        if (intended == null || intended.rms() <= policy.number(Setting.CONTROL_MATERIAL_AGREES)) {
            return;
        }
        List<Fit> others = new ArrayList<>();
        for (String name : names) {
            @Nullable Fit other = name.equals(meant) ? null : fit(name, all, runs, references);
            if (other != null
                    && other.values() == intended.values()
                    && other.rms() <= policy.number(Setting.CONTROL_MATERIAL_AGREES)) {
                others.add(other);
            }
        }
        others.sort((one, two) -> Double.compare(two.log10(), one.log10()));
        if (others.isEmpty()
                || others.get(0).log10() - intended.log10() < policy.number(Setting.CONTROL_MATERIAL_CALLED)) {
            return;
        }
        Fit best = others.get(0);
        if (others.size() > 1 && best.log10() - others.get(1).log10() < policy.number(Setting.CONTROL_MATERIAL_LEAD)) {
            return;
        }
        truly.put(lab, best.material());
        double odds = best.log10() - intended.log10();
        Seen first = all.get(0);
        RunJudgement run = runs.get(first.run());
        findings.add(new DayFinding(
                run.reduced().run().run(),
                new Finding(
                        CauseKind.CONTROL_MATERIAL_MISTAKEN,
                        Verdict.FIT,
                        analytes(all, run),
                        0,
                        0,
                        "A hidden control that was to be " + meant + " gives what " + best.material() + " gives in "
                                + best.values() + " results (" + Times.text(odds) + " better); it is judged as "
                                + best.material() + ", and no soil is held for it.",
                        "Look into the jars of " + meant + " and " + best.material()
                                + " and at who filled the control wells.",
                        OptionalDouble.of(odds),
                        Optional.of(new Finding.RunnerUp(CauseKind.CONTROL_FAILED, odds)),
                        List.of(Measure.upTo(
                                Measure.Kind.LIKELIHOOD,
                                "",
                                "",
                                0,
                                odds,
                                policy.number(Setting.CONTROL_MATERIAL_CALLED),
                                ""))),
                Set.of()));
    }

    private static List<String> analytes(List<Seen> all, RunJudgement run) {
        return all.stream()
                .filter(seen -> run.reduced()
                        .method()
                        .analyte(seen.determination().analyte())
                        .isPresent())
                .map(seen -> seen.determination().analyte())
                .distinct()
                .toList();
    }

    private record Fit(String material, double log10, double rms, int values) {}

    private @Nullable Fit fit(
            String material, List<Seen> all, List<RunJudgement> runs, Map<String, References> references) {
        double sum = 0;
        double squares = 0;
        int values = 0;
        for (Seen seen : all) {
            RunJudgement run = runs.get(seen.run());
            References known = references.get(run.reduced().method().id());
            Determination d = seen.determination();
            Optional<Material> expected = known == null ? Optional.empty() : known.material(material, d.analyte());
            // Organic matter follows from the loss: one of the two is enough.
            boolean calculated = run.reduced().method() instanceof IgnitionMethod
                    && !d.analyte().equals("LOI");
            if (expected.isEmpty() || !(expected.get().sd() > 0) || calculated) {
                continue;
            }
            double z =
                    (d.amount().raw() - expected.get().mean()) / expected.get().sd();
            sum -= (freedom + 1) / 2 * Math.log1p(z * z / freedom)
                    + Math.log(expected.get().sd());
            squares += Math.min(z * z, 100);
            values++;
        }
        return values == 0 ? null : new Fit(material, sum * LOG10_E, Math.sqrt(squares / values), values);
    }
}
