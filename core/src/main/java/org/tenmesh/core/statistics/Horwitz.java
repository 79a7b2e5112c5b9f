package org.tenmesh.core.statistics;

/**
 * What laboratories usually agree to, by the amount present alone.
 *
 * <p>Formulas, c as a mass fraction (1 mg/kg is 1e-6): {@code RSD = 2 c^-0.1505} percent (Horwitz, Evaluation of analytical
 * methods, Anal. Chem. 54:67A, 1982; the equation as printed by the AOAC International guide on HorRat, 2004, Table D1: read).
 * Thompson's modification of the standard deviation: {@code 0.22 c} below 1.2e-7, {@code 0.02 c^0.8495} to 0.138,
 * {@code 0.01 c^0.5} above (Thompson, Analyst 125:385, 2000; limits and forms read in a summary, the paper not seen).
 */
public final class Horwitz {
    private static final double TRACE = 1.2e-7;
    private static final double MAJOR = 0.138;

    private Horwitz() {}

    /**
     * Relative standard deviation between laboratories that is usual for this amount, in percent.
     *
     * @param massFraction above 0 to 1
     */
    public static double predictedRsdPct(double massFraction) {
        return 2 * Math.pow(require(massFraction), -0.1505);
    }

    /**
     * Standard deviation between laboratories by Thompson's modification, as a mass fraction.
     *
     * @param massFraction above 0 to 1
     */
    public static double modifiedSd(double massFraction) {
        double c = require(massFraction);
        if (c < TRACE) {
            return 0.22 * c;
        }
        return c <= MAJOR ? 0.02 * Math.pow(c, 0.8495) : 0.01 * Math.sqrt(c);
    }

    /**
     * HorRat: the relative standard deviation found over the one that is usual. Between laboratories 0.5 to 2 is accepted
     * (upper end read in Linsinger & Josephs, Trends Anal. Chem. 25:1125, 2006; lower end from memory).
     *
     * @param rsdPct found, in percent, 0 or more
     * @param massFraction above 0 to 1
     */
    public static double horRat(double rsdPct, double massFraction) {
        return rsdPct / predictedRsdPct(massFraction);
    }

    private static double require(double massFraction) {
        if (!(massFraction > 0 && massFraction <= 1)) {
            throw new IllegalArgumentException("a mass fraction lies above 0 and at or below 1, found " + massFraction);
        }
        return massFraction;
    }
}
