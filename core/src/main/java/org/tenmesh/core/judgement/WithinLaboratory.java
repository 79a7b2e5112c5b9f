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
import org.tenmesh.core.statistics.Coverage;

/**
 * The uncertainty of one analyte at a value, top down: the standard deviation between runs from the history of the laboratory's own control
 * soils where it is long enough, from what the laboratory states of its materials where it is not, from the method's published figure where
 * there are none; with it the uncertainty of the bias, where reference materials or proficiency rounds say something of it.
 *
 * <p>Between two materials the relative standard deviation runs on a straight line; above the highest it stays relative (Nordtest TR 537 and ISO
 * 11352, both from memory). Below the lowest it follows {@code s = sqrt(s0^2 + (x s1)^2)}, the form in which an uncertainty depends on
 * the level (EURACHEM/CITAC, Quantifying Uncertainty in Analytical Measurement, "Uncertainty dependent on analyte level": E.4 of the second edition, E.5 of
 * the third): s0 is the method's own standard deviation near zero and s1 what makes the curve pass through the lowest material; where that material scatters
 * less than s0, its standard deviation stays. The bias stays relative above the lowest reference and absolute below it.
 *
 * <p>The coverage factor follows the degrees of freedom, see {@link Coverage}: those of a material are its results less one, those of a history the runs
 * less the lots, those of a calibration its points less the parameters of its curve. A published figure and a bias are taken as known.
 */
public final class WithinLaboratory {
    private static final double KNOWN_EXACTLY = Double.POSITIVE_INFINITY;

    private final Analyte analyte;
    private final double[] mean;
    private final double[] sd;
    private final double[] degrees;
    private final List<Reproducibility.Level> history;
    private final double biasShare;
    private final double biasFloor;

    private WithinLaboratory(
            Analyte analyte, List<Known> known, List<Reproducibility.Level> history, List<BiasStudy> bias) {
        this.analyte = analyte;
        this.mean = known.stream().mapToDouble(Known::mean).toArray();
        this.sd = known.stream().mapToDouble(Known::sd).toArray();
        this.degrees = known.stream().mapToDouble(Known::degrees).toArray();
        this.history = history;
        OptionalDouble share = Reproducibility.relativeBiasU(bias);
        this.biasShare = share.orElse(0);
        this.biasFloor = bias.stream()
                .mapToDouble(study -> Math.abs(study.assigned()))
                .min()
                .orElse(0);
    }

    private record Known(String material, double mean, double sd, double degrees) {}

    /**
     * The standard uncertainty of a calibration.
     *
     * @param se in the analyte's unit; 0 where there is none
     * @param degrees of freedom of its residuals, above 0
     */
    public record OfCalibration(double se, double degrees) {
        /** Of what is not calibrated. */
        public static final OfCalibration NONE = new OfCalibration(0, KNOWN_EXACTLY);
    }

    /** From all materials of the analyte; those without a positive mean and standard deviation are left out. */
    public static WithinLaboratory of(Analyte analyte, List<Material> materials) {
        return of(
                analyte,
                materials,
                List.of(),
                List.of(),
                Setting.CONTROL_TREND_ASSIGNED_RUNS.byDefault().get(0).intValue());
    }

    /**
     * From history before what is stated of the materials.
     *
     * @param history levels of this analyte, see {@link Reproducibility#levels}; one of a material takes the place of what is stated of it
     * @param bias studies of this analyte
     * @param assumedRuns results behind a material of which no number is stated, 2 or more
     */
    static WithinLaboratory of(
            Analyte analyte,
            List<Material> materials,
            List<Reproducibility.Level> history,
            List<BiasStudy> bias,
            int assumedRuns) {
        List<Known> known = new ArrayList<>();
        List<Reproducibility.Level> usable =
                history.stream().filter(level -> level.mean() > 0).toList();
        usable.forEach(level -> known.add(new Known(level.material(), level.mean(), level.sd(), level.degrees())));
        materials.stream()
                .filter(material -> material.mean() > 0 && material.sd() > 0)
                .filter(material ->
                        usable.stream().noneMatch(level -> level.material().equals(material.material())))
                .forEach(material -> known.add(new Known(
                        material.material(),
                        material.mean(),
                        material.sd(),
                        Math.max(1, material.n().orElse(assumedRuns) - 1))));
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
            double nearZero = Math.min(analyte.withinFloor(), sd[0]);
            double share = Math.max(value, 0) / mean[0];
            return Math.sqrt(nearZero * nearZero + (sd[0] * sd[0] - nearZero * nearZero) * share * share);
        }
        if (value >= mean[n - 1]) {
            return sd[n - 1] / mean[n - 1] * value;
        }
        int i = above(value);
        double share = mean[i] == mean[i - 1] ? 1 : (value - mean[i - 1]) / (mean[i] - mean[i - 1]);
        double relative = (1 - share) * sd[i - 1] / mean[i - 1] + share * sd[i] / mean[i];
        return relative * value;
    }

    // The first material that is not below the value, which lies between the lowest and the highest.
    private int above(double value) {
        int i = 1;
        while (mean[i] < value) {
            i++;
        }
        return i;
    }

    /** Degrees of freedom of {@link #sdAt}: between two materials those of the one known less well. */
    double degreesAt(double value) {
        int n = mean.length;
        if (n == 0) {
            return KNOWN_EXACTLY;
        }
        if (value <= mean[0]) {
            return degrees[0];
        }
        if (value >= mean[n - 1]) {
            return degrees[n - 1];
        }
        int i = above(value);
        return Math.min(degrees[i - 1], degrees[i]);
    }

    /** Standard uncertainty of the bias at a value, in the analyte's unit; 0 when no study says anything. */
    public double biasAt(double value) {
        return biasShare * Math.max(Math.abs(value), biasFloor);
    }

    /**
     * Expanded uncertainty: independent contributions add as squares (JCGM 100:2008, GUM, 5.1.2). A standard deviation between runs, from
     * history or as stated, went through many calibrations and so holds their scatter already: what is the same all day is random over
     * months (University of Tartu, Estimation of measurement uncertainty in chemical analysis, section 10.2, read; JCGM 100:2008, 4.3.10, no
     * component counts twice, from memory). Beside it a calibration counts only where its own uncertainty is the larger of the two, as it is
     * at the ends of a curve. What the method publishes is taken to be without it.
     */
    public double expanded(double value, OfCalibration calibration) {
        Combined combined = combined(value, calibration);
        return combined.factor() * combined.standard();
    }

    private record Combined(double standard, double factor) {}

    private Combined combined(double value, OfCalibration calibration) {
        double within = sdAt(value);
        double se = calibration.se();
        boolean held = own();
        double[] parts = {held && se > within ? 0 : within, held && se <= within ? 0 : se, biasAt(value)};
        double[] degreesOf = {degreesAt(value), calibration.degrees(), KNOWN_EXACTLY};
        double squares = parts[0] * parts[0] + parts[1] * parts[1] + parts[2] * parts[2];
        return new Combined(Math.sqrt(squares), Coverage.factor(Coverage.effectiveDegrees(parts, degreesOf)));
    }

    /** Where an expanded uncertainty comes from, with its parts. */
    public String sentence(double value, OfCalibration calibration, Unit unit) {
        double within = sdAt(value);
        double bias = biasAt(value);
        double se = calibration.se();
        return "Uncertainty (k = " + text(combined(value, calibration).factor(), 3) + ") "
                + text(expanded(value, calibration), 2) + " " + unit.spelling()
                + ": within-laboratory standard deviation " + text(within, 2) + source() + ", calibration "
                + text(se, 2)
                + (!own() || se == 0 ? "" : se > within ? " (the larger counts)" : " (held in it already)")
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
