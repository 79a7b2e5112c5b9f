package org.tenmesh.core.calibration;

import org.tenmesh.core.statistics.Quantiles;

/**
 * What a straight calibration can tell from nothing, by the calibration method of DIN 32645 (1994; formulas as in the
 * open R package chemCal, whose tests quote the standard's example).
 *
 * @param critical smallest x that differs from zero: {@code t(1 - alpha, n - 2) SD(x0 at the intercept)}
 * @param detection smallest x found with chance {@code 1 - alpha}: twice the critical value
 * @param quantification x whose two-sided half-width at {@code 1 - alpha} is {@code 1/k} of itself; NaN when there is none
 */
public record DetectionLimits(double critical, double detection, double quantification) {
    private static final int MOST_STEPS = 200;

    /**
     * Limits of a curve for a mean of some readings.
     *
     * @param alpha accepted chance of error, 0 to 0.5; the standard takes 0.01
     * @param k relative half-width at quantification is 1/k; the standard takes 3
     * @param readings how many readings of a solution make its result
     */
    public static DetectionLimits of(Curve line, double alpha, double k, int readings) {
        double oneSided = Quantiles.t(1 - alpha, line.residualDegrees());
        double twoSided = Quantiles.t(1 - alpha / 2, line.residualDegrees());
        double critical = oneSided * line.concentrationSe(line.a(), readings, line.weightAt(0));
        // The half-width depends weakly on where it is taken, so repeating the definition settles fast.
        double x = k * critical;
        for (int step = 0; step < MOST_STEPS; step++) {
            double next = k * twoSided * line.concentrationSe(line.signalAt(x), readings, line.weightAt(x));
            if (Double.isFinite(next) && Math.abs(next - x) <= 1e-12 * next) {
                return new DetectionLimits(critical, 2 * critical, next);
            }
            x = next;
        }
        return new DetectionLimits(critical, 2 * critical, Double.NaN);
    }

    /**
     * Limits of a net signal whose spread is known, by Currie: critical {@code z(1 - alpha) s sqrt(1 + 1/m)}, detection twice that,
     * quantification ten standard deviations of the net signal. With one blank for each sample 2.33, 4.65 and 14.1 s; with a well
     * known blank 1.645, 3.29 and 10 s at 5 % (Currie, Anal. Chem. 40:586, 1968; from memory).
     *
     * @param sd standard deviation of a blank, in the unit of the results, above 0
     * @param blanks how many blanks the subtracted mean is of, 1 or more
     * @param alpha accepted chance of error, 0 to 0.5
     */
    public static DetectionLimits ofBlanks(double sd, int blanks, double alpha) {
        return of(sd, 1.0 / blanks, Quantiles.normal(1 - alpha));
    }

    /**
     * The same with a spread that was estimated, by Student's t.
     *
     * @param sd standard deviation of a blank, in the unit of the results, 0 or more
     * @param degrees of freedom of it, 1 or more
     * @param perBlanks mean of 1/m, where the mean of m blanks is taken off; 0 where none is
     * @param alpha accepted chance of error, 0 to 0.5
     */
    public static DetectionLimits ofBlanks(double sd, int degrees, double perBlanks, double alpha) {
        return of(sd, perBlanks, Quantiles.t(1 - alpha, degrees));
    }

    private static DetectionLimits of(double sd, double perBlanks, double factor) {
        double net = sd * Math.sqrt(1 + perBlanks);
        double critical = factor * net;
        return new DetectionLimits(critical, 2 * critical, 10 * net);
    }
}
