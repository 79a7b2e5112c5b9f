package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.statistics.StudentT;

/**
 * Asks of a control soil that failed whether it is another of the laboratory's control soils.
 *
 * <p>Three explanations are weighed by the likelihood of all its analytes together: its own material without a fault, its own
 * material with one failure common to all analytes (too little soil, a short extraction, a shifted probe), and each other material. The
 * size of the common failure is not known, so its likelihood is the mean over all sizes that are possible; one of several other
 * materials fits by chance the sooner the more there are, so each counts by its share.
 */
final class MistakenMaterial {
    private static final int STEPS = 400;

    private MistakenMaterial() {}

    /** One analyte of the control soil that was read, with what its own material is known to give. */
    record Seen(String analyte, double value, Material own) {}

    /**
     * @param material the one that was read instead
     * @param agrees how many analytes agree with it
     * @param log10Odds against its own material without a fault
     * @param againstFailure log10 of the odds against its own material with a failure
     */
    record Mistake(String material, int agrees, double log10Odds, double againstFailure) {}

    /**
     * The other material that was read, if it explains all analytes and is distinguished from a failure.
     *
     * @param limit how many standard deviations a control soil may be off
     * @param additive whether a failure shifts values instead of multiplying them
     * @param policy what a failure may be, and the lead that is needed
     */
    static Optional<Mistake> find(
            List<Seen> seen, References references, double limit, boolean additive, Policy policy) {
        StudentT density = new StudentT(policy.number(Setting.MISTAKEN_MATERIAL_FREEDOM));
        if (seen.stream().allMatch(one -> off(one.value(), one.own()) <= limit)) {
            return Optional.empty();
        }
        String own = seen.get(0).own().material();
        List<String> others = references.materialNames().stream()
                .filter(name -> !name.equals(own))
                .toList();
        Optional<Mistake> best = Optional.empty();
        for (String other : others) {
            List<Material> known = new ArrayList<>();
            for (Seen one : seen) {
                references
                        .material(other, one.analyte())
                        .filter(material -> material.sd() > 0 && off(one.value(), material) <= limit)
                        .ifPresent(known::add);
            }
            if (known.size() < seen.size()) {
                continue;
            }
            double asOther = -Math.log10(others.size());
            double asOwn = 0;
            for (int i = 0; i < seen.size(); i++) {
                asOther += density(density, seen.get(i).value(), known.get(i), 1, 0);
                asOwn += density(density, seen.get(i).value(), seen.get(i).own(), 1, 0);
            }
            Mistake mistake = new Mistake(
                    other, known.size(), asOther - asOwn, asOther - failure(seen, additive, density, policy));
            if (best.isEmpty() || mistake.log10Odds() > best.get().log10Odds()) {
                best = Optional.of(mistake);
            }
        }
        return best.filter(mistake -> Math.min(mistake.log10Odds(), mistake.againstFailure())
                >= policy.number(Setting.MISTAKEN_MATERIAL_LEAD));
    }

    private static double off(double value, Material material) {
        return Math.abs(value - material.mean()) / material.sd();
    }

    private static double density(StudentT density, double value, Material material, double factor, double shift) {
        return density.log10(value - factor * material.mean() - shift, factor * material.sd());
    }

    // The mean likelihood over all sizes of a common failure, logarithm.
    private static double failure(List<Seen> seen, boolean additive, StudentT density, Policy policy) {
        double[] each = new double[STEPS + 1];
        double most = Double.NEGATIVE_INFINITY;
        for (int i = 0; i <= STEPS; i++) {
            double at = 2.0 * i / STEPS - 1;
            double factor = additive ? 1 : Math.pow(policy.number(Setting.MISTAKEN_MATERIAL_LARGEST_FACTOR), at);
            double shift = additive ? policy.number(Setting.MISTAKEN_MATERIAL_LARGEST_SHIFT) * at : 0;
            for (Seen one : seen) {
                each[i] += density(density, one.value(), one.own(), factor, shift);
            }
            most = Math.max(most, each[i]);
        }
        double sum = 0;
        for (double one : each) {
            sum += Math.pow(10, one - most);
        }
        return most + Math.log10(sum / each.length);
    }
}
