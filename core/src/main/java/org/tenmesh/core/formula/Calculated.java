package org.tenmesh.core.formula;

/**
 * A number and how it moves with the inputs it came from: forward automatic differentiation (Griewank and Walther 2008,
 * Evaluating Derivatives, chapter 3).
 *
 * @param value the number; a truth is 1 or 0
 * @param slopes derivative by each base input, in the order of the inputs
 */
public record Calculated(double value, double[] slopes) {
    /** A number that depends on nothing. */
    public static Calculated constant(double value, int inputs) {
        return new Calculated(value, new double[inputs]);
    }

    /** The base input number {@code which} of so many. */
    public static Calculated input(double value, int which, int inputs) {
        double[] slopes = new double[inputs];
        slopes[which] = 1;
        return new Calculated(value, slopes);
    }

    Calculated through(double result, double slope) {
        double[] through = new double[slopes.length];
        for (int i = 0; i < through.length; i++) {
            through[i] = slopes[i] == 0 ? 0 : slopes[i] * slope;
        }
        return new Calculated(result, through);
    }

    Calculated with(Calculated other, double result, double slope, double otherSlope) {
        double[] sum = new double[slopes.length];
        for (int i = 0; i < sum.length; i++) {
            double mine = slopes[i] == 0 ? 0 : slopes[i] * slope;
            double its = other.slopes[i] == 0 ? 0 : other.slopes[i] * otherSlope;
            sum[i] = mine + its;
        }
        return new Calculated(result, sum);
    }

    boolean isTrue() {
        return value != 0;
    }

    Calculated truth(boolean truth) {
        return constant(truth ? 1 : 0, slopes.length);
    }

    /** First-order variance: the sum of the squares of slope times standard deviation, for independent inputs (JCGM 100:2008, 5.1.2). */
    public double variance(double[] sd) {
        double sum = 0;
        for (int i = 0; i < sd.length; i++) {
            double part = slopes[i] == 0 ? 0 : slopes[i] * sd[i];
            sum += part * part;
        }
        return sum;
    }
}
