package org.tenmesh.core.statistics;

/**
 * A sum that carries what each addition and product loses to rounding, so that it is good to twice the digits of a double
 * (Ogita, Rump & Oishi, Accurate sum and dot product, SIAM J. Sci. Comput. 26, 2005; from memory). Not for several threads.
 */
final class CompensatedSum {
    private double sum;
    private double lost;

    CompensatedSum(double start) {
        sum = start;
    }

    void add(double value) {
        double total = sum + value;
        double part = total - sum;
        lost += (sum - (total - part)) + (value - part);
        sum = total;
    }

    void addProduct(double a, double b) {
        double product = a * b;
        lost += Math.fma(a, b, -product);
        add(product);
    }

    double value() {
        return sum + lost;
    }

    /** The sum over n, in two parts: the second is what the first lost to rounding. */
    Mean over(int n) {
        double high = value() / n;
        return new Mean(high, (Math.fma(-high, n, sum) + lost) / n);
    }

    /**
     * A mean to twice the digits of a double.
     *
     * @param high the mean as a double
     * @param low what it lost
     */
    record Mean(double high, double low) {
        /** A value less this mean. */
        double from(double value) {
            return value - high - low;
        }

        /** This mean less another. */
        double less(Mean other) {
            return (high - other.high) + (low - other.low);
        }
    }
}
