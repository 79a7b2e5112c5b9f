package org.tenmesh.core.charts;

import java.util.List;
import java.util.TreeSet;
import java.util.function.Predicate;
import org.tenmesh.core.statistics.Quantiles;

/** How often a laboratory's own rules call when nothing is wrong. */
public final class FalseAlarms {
    private FalseAlarms() {}

    /**
     * Expected false alarms in a day of a set of zone rules: points read in a day over the run length to a false alarm. How the analytes
     * of one control agree with each other does not change how many there are, only whether they come singly or in bunches.
     *
     * @param pointsPerDay controls times analytes
     */
    public static double perDay(RuleSet rules, double pointsPerDay) {
        return pointsPerDay / RunLength.of(rules.rules(), 0);
    }

    /**
     * Expected controls in a day of which at least one analyte lies beyond the limit without a fault.
     *
     * @param limit standard deviations, two-sided
     * @param controlsPerDay control soils read
     * @param correlation between the analytes, as history shows it; the unit matrix for analytes that vary apart
     */
    public static double controlsPerDay(double limit, double controlsPerDay, double[][] correlation) {
        return controlsPerDay * Together.chanceOfAny(limit, correlation);
    }

    /**
     * The chance that one run of {@code n} controls is rejected, exactly: every pattern of zones with its chance.
     *
     * @param rejects whether a run with these z is rejected; must depend on the zones between the bounds alone
     * @param bounds between zones, standard deviations above 0; the negative ones and 0 are added
     * @param shift of the mean in standard deviations
     * @param spread factor on the standard deviation, 1 when nothing is wrong
     */
    public static double inOneRun(
            Predicate<double[]> rejects, List<Double> bounds, int n, double shift, double spread) {
        TreeSet<Double> edges = new TreeSet<>(List.of(0.0));
        bounds.forEach(bound -> edges.addAll(List.of(bound, -bound)));
        double[] cuts = edges.stream().mapToDouble(Double::doubleValue).toArray();
        int zones = cuts.length + 1;
        double[] chance = new double[zones];
        double[] inside = new double[zones];
        for (int i = 0; i < zones; i++) {
            double below = i == 0 ? 0 : Quantiles.normalBelow((cuts[i - 1] - shift) / spread);
            double upTo = i == zones - 1 ? 1 : Quantiles.normalBelow((cuts[i] - shift) / spread);
            chance[i] = upTo - below;
            inside[i] = i == 0 ? cuts[0] - 1 : i == zones - 1 ? cuts[i - 1] + 1 : (cuts[i - 1] + cuts[i]) / 2;
        }
        double rejected = 0;
        int[] pattern = new int[n];
        double[] z = new double[n];
        while (true) {
            double together = 1;
            for (int i = 0; i < n; i++) {
                together *= chance[pattern[i]];
                z[i] = inside[pattern[i]];
            }
            if (rejects.test(z)) {
                rejected += together;
            }
            int at = 0;
            while (at < n && ++pattern[at] == zones) {
                pattern[at++] = 0;
            }
            if (at == n) {
                return rejected;
            }
        }
    }
}
