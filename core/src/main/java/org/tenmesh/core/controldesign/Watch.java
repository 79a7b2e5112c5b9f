package org.tenmesh.core.controldesign;

import org.hipparchus.analysis.integration.gauss.GaussIntegrator;
import org.hipparchus.analysis.integration.gauss.GaussIntegratorFactory;
import org.tenmesh.core.charts.RunLength;
import org.tenmesh.core.statistics.FalseAlarm;
import org.tenmesh.core.statistics.Quantiles;

/**
 * How the values of controls are watched for a shift. Values are normal, independent, with known mean and standard deviation.
 *
 * <p>The definitions of results that cannot be called back and of those that can are Parvin's (2008, Clin. Chem. 54:2049, abstract
 * read): a result is final once the control after it has passed, and can be corrected until then. The formulas are our own derivation
 * from them, not his.
 */
public sealed interface Watch {
    /** The way of watching in words. */
    String name();

    /**
     * How many soils a lasting shift touches, on average.
     *
     * @param shift of the mean, in standard deviations of one control value
     */
    Touched touched(Placement placement, double shift);

    /** Share of false alarms: one in so many controls when nothing is wrong, as a chance per control. */
    double falseAlarm();

    /**
     * Soils that carry a shift.
     *
     * @param released left the laboratory before the shift was seen, mean number: those before the last control, or group of
     *     controls, that passed
     * @param held still in the open bracket when it was seen, mean number
     */
    record Touched(double released, double held) {
        /** All that were run with the shift. */
        public double all() {
            return released + held;
        }

        /** So many times as many. */
        Touched times(double factor) {
            return new Touched(released * factor, held * factor);
        }
    }

    /**
     * Each control by itself against a limit.
     *
     * @param limit standard deviations either way, above 0
     */
    record Single(double limit) implements Watch {
        /** With the limit that gives a wanted chance of a false alarm. */
        public static Single ofFalseAlarm(double falseAlarm) {
            return new Single(FalseAlarm.limit(falseAlarm));
        }

        @Override
        public String name() {
            return "each control by itself";
        }

        /** Chance that one control signals: {@code p = Phi(k - L) + Phi(-k - L)}. */
        public double power(double shift) {
            return beyond(limit, shift);
        }

        @Override
        public double falseAlarm() {
            return power(0);
        }

        @Override
        public Touched touched(Placement placement, double shift) {
            double p = power(shift);
            return ofRunLength(placement, 1 / p, p, p * (1 - p));
        }
    }

    /**
     * The mean of every n controls against a limit; soils leave when their group has passed. The group in which the shift begins
     * holds some controls from before it.
     *
     * @param n controls in a group, 1 or more
     * @param limit standard deviations of the mean, above 0
     */
    record MeanOf(int n, double limit) implements Watch {
        /**
         * With the limit that gives as many false alarms as single values with this chance.
         *
         * @param falseAlarm chance per control
         */
        public static MeanOf ofFalseAlarm(int n, double falseAlarm) {
            return new MeanOf(n, FalseAlarm.limit(n * falseAlarm));
        }

        @Override
        public String name() {
            return "the mean of every " + n;
        }

        @Override
        public double falseAlarm() {
            return beyond(limit, 0) / n;
        }

        @Override
        public Touched touched(Placement placement, double shift) {
            double m = placement.interval();
            double whole = beyond(limit, shift * Math.sqrt(n));
            double released = 0;
            double all = 0;
            for (int shifted = 1; shifted <= n; shifted++) {
                double missed = 1 - beyond(limit, shift * shifted / Math.sqrt(n));
                double first = placement.meanWait() + (shifted - 1) * m - (shifted > 1 ? placement.pull() : 0);
                double pull = shifted > 1 ? 0 : placement.pull();
                all += first + missed * (n * m / whole - pull);
                released += missed * (first + (1 - whole) * (n * m / whole - pull));
            }
            return new Touched(released / n, (all - released) / n);
        }
    }

    /**
     * An exponentially weighted moving average over the day's controls. It starts at the centre when the shift begins, which is
     * where it is on average when nothing was wrong before.
     *
     * @param lambda weight of the newest value, above 0 and at most 1
     * @param limit in its own asymptotic standard deviations, above 0
     */
    record MovingAverage(double lambda, double limit) implements Watch {
        private static final int NODES = 64;

        /** With the limit whose run length to a false alarm is that of single values with this chance. */
        public static MovingAverage ofFalseAlarm(double lambda, double falseAlarm) {
            double low = 0.5;
            double high = 8;
            for (int i = 0; i < 50; i++) {
                double limit = (low + high) / 2;
                if (RunLength.ewma(lambda, limit, 0) * falseAlarm < 1) {
                    low = limit;
                } else {
                    high = limit;
                }
            }
            return new MovingAverage(lambda, (low + high) / 2);
        }

        @Override
        public String name() {
            return "moving average, weight " + lambda;
        }

        @Override
        public double falseAlarm() {
            return 1 / RunLength.ewma(lambda, limit, 0);
        }

        @Override
        public Touched touched(Placement placement, double shift) {
            double h = limit * Math.sqrt(lambda / (2 - lambda));
            double atFirst = beyond(h / lambda, shift);
            GaussIntegrator within = new GaussIntegratorFactory().legendre(NODES, -h / lambda, h / lambda);
            double atSecond = within.integrate(z -> density(z - shift)
                    * (Quantiles.normalBelow((-h - (1 - lambda) * lambda * z) / lambda - shift)
                            + Quantiles.normalBelow((-h + (1 - lambda) * lambda * z) / lambda + shift)));
            return ofRunLength(placement, RunLength.ewma(lambda, limit, shift), atFirst, atSecond);
        }

        private static double density(double z) {
            return Math.exp(-z * z / 2) / Math.sqrt(2 * Math.PI);
        }
    }

    /**
     * Of a signal at control N after the shift: the wait for the first control, and one interval for each further one. With gaps
     * all alike and a chance p at each control this is {@code M (1/p - 1/2)} run and {@code M (q^2/p + q/2)} released, q = 1 - p.
     */
    private static Touched ofRunLength(Placement placement, double mean, double atFirst, double atSecond) {
        double later = 1 - atFirst;
        double m = placement.interval();
        double all = placement.meanWait() + m * (mean - 1) - placement.pull() * later;
        double released =
                later * placement.meanWait() + m * (mean - 2 + atFirst) - placement.pull() * (later - atSecond);
        return new Touched(released, all - released);
    }

    private static double beyond(double limit, double shift) {
        return Quantiles.normalBelow(shift - limit) + Quantiles.normalBelow(-shift - limit);
    }
}
