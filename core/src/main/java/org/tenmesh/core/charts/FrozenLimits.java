package org.tenmesh.core.charts;

import java.time.LocalDate;

/**
 * Limits of one chart, set once and then kept: a later value never moves them, only a new version with its own date does.
 *
 * @param since first day they hold for
 * @param centre mean of the base, in the analyte's unit
 * @param betweenSd standard deviation between runs, same unit
 * @param withinSd standard deviation of single values within a run, same unit; 0 when every run held one value, then
 *     {@code betweenSd} holds both
 * @param n values behind them
 * @param runs runs behind them, 2 or more
 * @param days days behind them
 * @param leftOut values of the base that were called outliers
 * @param by who decided, or the procedure that did
 * @param why the reason
 */
public record FrozenLimits(
        ChartKey key,
        LocalDate since,
        double centre,
        double betweenSd,
        double withinSd,
        int n,
        int runs,
        int days,
        int leftOut,
        String by,
        String why) {
    public FrozenLimits {
        if (!(betweenSd >= 0 && withinSd >= 0 && Math.hypot(betweenSd, withinSd) > 0 && Double.isFinite(centre))
                || runs < 2) {
            throw new IllegalArgumentException("limits of " + key.analyte() + " in " + key.material()
                    + " need a mean, a spread above 0 and two runs, found mean " + centre + ", between " + betweenSd
                    + ", within " + withinSd + ", runs " + runs);
        }
    }

    /** Standard deviation of single values: between runs and within, {@code sqrt(sL^2 + sr^2)} (ISO 5725-2). */
    public double sd() {
        return Math.hypot(betweenSd, withinSd);
    }

    /** Standard deviation of the mean of {@code n} values of one run: {@code sqrt(sL^2 + sr^2 / n)}. */
    public double sdOfMean(int n) {
        return Math.sqrt(betweenSd * betweenSd + withinSd * withinSd / n);
    }

    /** The mean of {@code n} values of one run in standard deviations from the centre. */
    public double z(double mean, int n) {
        return (mean - centre) / sdOfMean(n);
    }
}
