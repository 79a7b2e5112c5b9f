package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import org.tenmesh.core.charts.BiasStudy;
import org.tenmesh.core.charts.Reproducibility;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Unit;

/**
 * The uncertainty of one analyte at a value, top down: the standard deviation between runs from the history of the laboratory's own control
 * soils where it is long enough, from what the laboratory states of its materials where it is not, from the method's published figure where
 * there are none; with it the uncertainty of the bias, where reference materials or proficiency rounds say something of it.
 *
 * <p>Between two materials the relative standard deviation runs on a straight line; above the highest it stays relative, below
 * the lowest it stays absolute (the laboratory's choice, in the spirit of top-down estimates from control materials: Nordtest TR 537 and ISO
 * 11352, both from memory). The bias stays relative above the lowest reference and absolute below it, in the same way.
 */
public final class WithinLaboratory {
    private static final double COVERAGE = 2;

    private final Analyte analyte;
    private final double[] mean;
    private final double[] sd;
    private final List<Reproducibility.Level> history;
    private final double biasShare;
    private final double biasFloor;

    private WithinLaboratory(
            Analyte analyte, List<Known> known, List<Reproducibility.Level> history, List<BiasStudy> bias) {
        this.analyte = analyte;
        this.mean = known.stream().mapToDouble(Known::mean).toArray();
        this.sd = known.stream().mapToDouble(Known::sd).toArray();
        this.history = history;
        OptionalDouble share = Reproducibility.relativeBiasU(bias);
        this.biasShare = share.orElse(0);
        this.biasFloor = bias.stream()
                .mapToDouble(study -> Math.abs(study.assigned()))
                .min()
                .orElse(0);
    }

    private record Known(String material, double mean, double sd) {}

    /** From all materials of the analyte; those without a positive mean and standard deviation are left out. */
    public static WithinLaboratory of(Analyte analyte, List<Material> materials) {
        return of(analyte, materials, List.of(), List.of());
    }

    /**
     * From history before what is stated of the materials.
     *
     * @param history levels of this analyte, see {@link Reproducibility#levels}; one of a material takes the place of what is stated of it
     * @param bias studies of this analyte
     */
    static WithinLaboratory of(
            Analyte analyte, List<Material> materials, List<Reproducibility.Level> history, List<BiasStudy> bias) {
        List<Known> known = new ArrayList<>();
        List<Reproducibility.Level> usable =
                history.stream().filter(level -> level.mean() > 0).toList();
        usable.forEach(level -> known.add(new Known(level.material(), level.mean(), level.sd())));
        materials.stream()
                .filter(material -> material.mean() > 0 && material.sd() > 0)
                .filter(material ->
                        usable.stream().noneMatch(level -> level.material().equals(material.material())))
                .forEach(material -> known.add(new Known(material.material(), material.mean(), material.sd())));
        known.sort(Comparator.comparingDouble(Known::mean).thenComparing(Known::material));
        return new WithinLaboratory(analyte, known, usable, bias);
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

    /** Standard uncertainty of the bias at a value, in the analyte's unit; 0 when no study says anything. */
    public double biasAt(double value) {
        return biasShare * Math.max(Math.abs(value), biasFloor);
    }

    /**
     * Expanded uncertainty, coverage factor 2: independent contributions add as squares (JCGM 100:2008, GUM, 5.1.2). The history of control
     * soils went through many calibrations and so holds their scatter already: beside it a calibration counts only where its own uncertainty
     * is the larger of the two, as it is at the ends of a curve. What the laboratory states, or the method publishes, is taken to be without it.
     *
     * @param calibrationSe standard uncertainty from the calibration, same unit
     */
    public double expanded(double value, double calibrationSe) {
        double within = sdAt(value);
        double random = history.isEmpty()
                ? Math.sqrt(within * within + calibrationSe * calibrationSe)
                : Math.max(within, calibrationSe);
        double bias = biasAt(value);
        return COVERAGE * (bias == 0 ? random : Math.sqrt(random * random + bias * bias));
    }

    /** Where an expanded uncertainty comes from, with its parts. */
    public String sentence(double value, double calibrationSe, Unit unit) {
        double within = sdAt(value);
        double bias = biasAt(value);
        return "Uncertainty (k = 2) " + text(expanded(value, calibrationSe), 2) + " " + unit.spelling()
                + ": within-laboratory standard deviation " + text(within, 2) + source() + ", calibration "
                + text(calibrationSe, 2)
                + (history.isEmpty() ? "" : calibrationSe > within ? " (the larger counts)" : " (held in it already)")
                + (bias > 0 ? ", bias " + text(bias, 2) : "") + ".";
    }

    private String source() {
        if (!own()) {
            return " from the method's published figure";
        }
        if (history.isEmpty()) {
            return " from the laboratory's own control soils";
        }
        int n = history.stream().mapToInt(Reproducibility.Level::n).sum();
        int days = history.stream().mapToInt(Reproducibility.Level::days).max().orElse(0);
        return String.format(
                Locale.ROOT, " from %d values of the laboratory's own control soils over %d days", n, days);
    }
}
