package org.tenmesh.core.judgement;

import java.util.Comparator;
import java.util.List;
import org.tenmesh.core.methods.Analyte;

/**
 * The standard deviation between runs to expect of one analyte at a value: from the laboratory's own control materials where it
 * has any, from the method's published figure where it has none.
 *
 * <p>Between two materials the relative standard deviation runs on a straight line; above the highest it stays relative, below
 * the lowest it stays absolute (the laboratory's choice, in the spirit of top-down estimates from control materials).
 */
public final class WithinLaboratory {
    private final Analyte analyte;
    private final double[] mean;
    private final double[] sd;

    private WithinLaboratory(Analyte analyte, double[] mean, double[] sd) {
        this.analyte = analyte;
        this.mean = mean;
        this.sd = sd;
    }

    /** From all materials of the analyte; those without a positive mean and standard deviation are left out. */
    public static WithinLaboratory of(Analyte analyte, List<Material> materials) {
        List<Material> usable = materials.stream()
                .filter(material -> material.mean() > 0 && material.sd() > 0)
                .sorted(Comparator.comparingDouble(Material::mean).thenComparing(Material::material))
                .toList();
        return new WithinLaboratory(
                analyte,
                usable.stream().mapToDouble(Material::mean).toArray(),
                usable.stream().mapToDouble(Material::sd).toArray());
    }

    /** Whether it rests on the laboratory's own materials. */
    public boolean own() {
        return mean.length > 0;
    }

    /** Standard deviation at a value, in the analyte's unit; above 0 wherever the method says anything. */
    public double sdAt(double value) {
        int n = mean.length;
        if (n == 0) {
            return analyte.withinSd(Math.max(value, 0));
        }
        if (value <= mean[0]) {
            return sd[0];
        }
        if (value >= mean[n - 1]) {
            return sd[n - 1] / mean[n - 1] * value;
        }
        int i = 1;
        while (mean[i] < value) {
            i++;
        }
        double share = mean[i] == mean[i - 1] ? 1 : (value - mean[i - 1]) / (mean[i] - mean[i - 1]);
        double relative = (1 - share) * sd[i - 1] / mean[i - 1] + share * sd[i] / mean[i];
        return relative * value;
    }
}
