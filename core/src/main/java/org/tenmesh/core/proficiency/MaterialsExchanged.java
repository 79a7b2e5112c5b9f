package org.tenmesh.core.proficiency;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.Spread;

/**
 * Finds laboratories that interchanged two materials: whose pair of results does not agree with the other laboratories' pairs, but does
 * when its two numbers change places.
 *
 * <p>The other laboratories' pairs (the one in question left out) are fitted by a bivariate t distribution of 5 degrees of freedom, so that
 * wild laboratories count for little (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881; from memory). The odds are the density of
 * the pair interchanged over its density as given. If the fit is right, odds of t or more come up by chance with a probability of 1/t at
 * most, because the density of interchanged pairs is itself a density; so of n laboratories none is called by mistake with probability {@code
 * 1 - n/t} at least.
 */
public final class MaterialsExchanged {
    /** Fewest laboratories; below that the others cannot be told from the one. */
    public static final int FEWEST = 8;

    private static final double DEGREES = 5;
    private static final int STEPS = 1000;

    private MaterialsExchanged() {}

    /**
     * One laboratory's pair.
     *
     * @param index its place among those given, from 0
     * @param log10Odds for interchanged against as given
     * @param given squared distance of the pair as given from the others' centre, in their scatter
     * @param interchanged the same with the two numbers in each other's place
     */
    public record Odds(int index, double log10Odds, double given, double interchanged) {}

    /**
     * The laboratories that interchanged the materials, surest first.
     *
     * @param first each laboratory's result of the first material, in one unit
     * @param second of the second material, same order
     * @param falseAlarm chance that any is named when none did, for example 0.05
     */
    public static List<Odds> find(double[] first, double[] second, double falseAlarm) {
        double needed = Math.log10(first.length / falseAlarm);
        // Interchanged, the pair must look like one of the others: inside 99 % of the distribution, d^2/2 being F.
        double agrees = 2 * Quantiles.f(0.99, 2, DEGREES);
        return odds(first, second).stream()
                .filter(one -> one.log10Odds() >= needed && one.interchanged() <= agrees)
                .sorted(Comparator.comparingDouble(Odds::log10Odds).reversed())
                .toList();
    }

    /**
     * The odds of every laboratory, in the order given; empty when the others of one do not scatter.
     *
     * @throws IllegalArgumentException if there are fewer than {@link #FEWEST} pairs, or not as many of each
     */
    public static List<Odds> odds(double[] first, double[] second) {
        if (first.length != second.length || first.length < FEWEST) {
            throw new IllegalArgumentException("pairs of " + FEWEST + " laboratories or more are needed, found "
                    + first.length + " and " + second.length + " results");
        }
        List<Odds> odds = new ArrayList<>();
        for (int i = 0; i < first.length; i++) {
            Optional<Fit> others = Fit.of(without(first, i), without(second, i));
            if (others.isEmpty()) {
                return List.of();
            }
            double given = others.get().distance(first[i], second[i]);
            double interchanged = others.get().distance(second[i], first[i]);
            odds.add(new Odds(
                    i,
                    (DEGREES + 2) / 2 * Math.log10((DEGREES + given) / (DEGREES + interchanged)),
                    given,
                    interchanged));
        }
        return odds;
    }

    private static double[] without(double[] values, int index) {
        double[] others = new double[values.length - 1];
        System.arraycopy(values, 0, others, 0, index);
        System.arraycopy(values, index + 1, others, index, others.length - index);
        return others;
    }

    /** Centre and scatter of a bivariate t distribution, fitted by iterative weights. */
    private record Fit(double centreA, double centreB, double aa, double ab, double bb) {
        static Optional<Fit> of(double[] a, double[] b) {
            Fit fit = new Fit(Robust.median(a), Robust.median(b), variance(a), 0, variance(b));
            for (int step = 0; step < STEPS && fit.determinant() > 0; step++) {
                Fit next = fit.better(a, b);
                double moved = Math.abs(next.centreA - fit.centreA) / Math.sqrt(fit.aa)
                        + Math.abs(next.centreB - fit.centreB) / Math.sqrt(fit.bb)
                        + Math.abs(next.determinant() / fit.determinant() - 1);
                fit = next;
                if (moved < 1e-10) {
                    break;
                }
            }
            return fit.determinant() > 0 ? Optional.of(fit) : Optional.empty();
        }

        private static double variance(double[] values) {
            double robust = Robust.scaledMad(values);
            double sd = robust > 0 ? robust : Spread.of(values).sd();
            return sd * sd;
        }

        private Fit better(double[] a, double[] b) {
            double weights = 0;
            double sumA = 0;
            double sumB = 0;
            double[] weight = new double[a.length];
            for (int i = 0; i < a.length; i++) {
                weight[i] = (DEGREES + 2) / (DEGREES + distance(a[i], b[i]));
                weights += weight[i];
                sumA += weight[i] * (a[i] - centreA);
                sumB += weight[i] * (b[i] - centreB);
            }
            double nextA = centreA + sumA / weights;
            double nextB = centreB + sumB / weights;
            double nextAa = 0;
            double nextAb = 0;
            double nextBb = 0;
            for (int i = 0; i < a.length; i++) {
                double da = a[i] - nextA;
                double db = b[i] - nextB;
                nextAa += weight[i] * da * da;
                nextAb += weight[i] * da * db;
                nextBb += weight[i] * db * db;
            }
            return new Fit(nextA, nextB, nextAa / a.length, nextAb / a.length, nextBb / a.length);
        }

        private double determinant() {
            double determinant = aa * bb - ab * ab;
            // Of pairs on one line only rounding is left.
            return determinant > 1e-12 * aa * bb ? determinant : 0;
        }

        double distance(double a, double b) {
            double da = a - centreA;
            double db = b - centreB;
            return (bb * da * da - 2 * ab * da * db + aa * db * db) / determinant();
        }
    }
}
