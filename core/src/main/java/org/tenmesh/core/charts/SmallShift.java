package org.tenmesh.core.charts;

/** Charts that add up small shifts, on standardised values in the order of time. */
public final class SmallShift {
    private SmallShift() {}

    /**
     * Exponentially weighted moving average, started at the centre: {@code e = lambda z + (1 - lambda) e} (Roberts 1959, Technometrics
     * 1:239).
     *
     * @return one value for each z
     */
    public static double[] ewma(double[] z, double lambda) {
        double[] average = new double[z.length];
        double last = 0;
        for (int i = 0; i < z.length; i++) {
            last = lambda * z[i] + (1 - lambda) * last;
            average[i] = last;
        }
        return average;
    }

    /** Limit of that average after {@code n} values, {@code limit} of its standard deviations at that time. */
    public static double ewmaLimit(double lambda, double limit, int n) {
        return limit * Math.sqrt(lambda / (2 - lambda) * (1 - Math.pow(1 - lambda, 2.0 * n)));
    }

    /**
     * Upper cumulative sum {@code s = max(0, s + z - k)} (Page 1954, Biometrika 41:100); the lower one is that of {@code -z}.
     *
     * @param k reference value, standard deviations: half the shift to be found
     * @param headStart where it starts
     */
    public static double[] cusum(double[] z, double k, double headStart) {
        double[] sums = new double[z.length];
        double sum = headStart;
        for (int i = 0; i < z.length; i++) {
            sum = Math.max(0, sum + z[i] - k);
            sums[i] = sum;
        }
        return sums;
    }
}
