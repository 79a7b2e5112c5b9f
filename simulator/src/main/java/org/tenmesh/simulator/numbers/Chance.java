package org.tenmesh.simulator.numbers;

import java.util.SplittableRandom;

/**
 * Seeded chance. Only exactly specified operations are used (StrictMath), so that the same seed gives the same bytes on
 * every machine and every Java. Not for use by several threads.
 */
public final class Chance {
    private final SplittableRandom random;
    /** Degrees of freedom of the Student t distribution that stands for the normal one; 0 = none does. */
    private final int freedom;

    private double spare = Double.NaN;

    /** A stream of its own for a seed and a purpose, independent of what other purposes draw. */
    public Chance(long seed, String purpose) {
        this(seed, purpose, 0);
    }

    /** As above, with normal deviates of heavier tails: Student t of the same standard deviation; 0 degrees of freedom = normal. */
    Chance(long seed, String purpose, int freedom) {
        this.freedom = freedom;
        random = new SplittableRandom(seed * 0x9E3779B97F4A7C15L + purpose.hashCode());
    }

    public long seed() {
        return random.nextLong();
    }

    /** Uniform in [low, high). */
    public double between(double low, double high) {
        return low + (high - low) * random.nextDouble();
    }

    /** Uniform in [low, high], both included. */
    public int between(int low, int high) {
        return low + random.nextInt(high - low + 1);
    }

    public boolean happens(double probability) {
        return random.nextDouble() < probability;
    }

    public <T> T pick(T[] from) {
        return from[random.nextInt(from.length)];
    }

    /** Standard normal deviate, or one of heavier tails where this chance has them. */
    public double normal() {
        double value = gaussian();
        if (freedom == 0) {
            return value;
        }
        double squares = 0;
        for (int i = 0; i < freedom; i++) {
            double one = gaussian();
            squares += one * one;
        }
        // Variance of Student t: freedom / (freedom - 2).
        return value * Math.sqrt((freedom - 2) / squares);
    }

    // By the polar method (Marsaglia and Bray 1964, from memory).
    private double gaussian() {
        if (!Double.isNaN(spare)) {
            double value = spare;
            spare = Double.NaN;
            return value;
        }
        while (true) {
            double u = 2 * random.nextDouble() - 1;
            double v = 2 * random.nextDouble() - 1;
            double square = u * u + v * v;
            if (square > 0 && square < 1) {
                double factor = Math.sqrt(-2 * StrictMath.log(square) / square);
                spare = v * factor;
                return u * factor;
            }
        }
    }

    /** Normal deviate. */
    public double normal(double mean, double sd) {
        return mean + sd * normal();
    }

    /** Normal deviate held between two ends. */
    public double normal(double mean, double sd, double low, double high) {
        return Math.min(high, Math.max(low, normal(mean, sd)));
    }

    /** A factor near 1 that is never negative. */
    public double factor(double relativeSd) {
        return Math.max(0.05, 1 + relativeSd * normal());
    }
}
