package org.tenmesh.core.charts;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Queue;
import java.util.TreeSet;
import org.hipparchus.analysis.integration.gauss.GaussIntegrator;
import org.hipparchus.analysis.integration.gauss.GaussIntegratorFactory;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.special.Erf;

/**
 * Average run lengths: how many values pass, on average, until a chart signals, for independent normal values of known centre
 * and standard deviation whose mean lies {@code shift} standard deviations off. At shift 0 it is the run length to a false alarm.
 */
public final class RunLength {
    private static final int NODES = 64;
    // Keeps the rules it has made; making one of 64 nodes takes longer than using it.
    private static final GaussIntegratorFactory INTEGRATORS = new GaussIntegratorFactory();

    private RunLength() {}

    /**
     * Of zone rules used together: an exact Markov chain whose states are what the rules must remember (Champ and Woodall 1987,
     * Technometrics 29:393).
     *
     * @param rules zone rules only
     * @throws IllegalArgumentException when a rule is no zone rule
     */
    public static double of(List<Rule> rules, double shift) {
        List<Rule.Zone> zones = new ArrayList<>();
        for (Rule rule : rules) {
            if (rule instanceof Rule.Zone zone) {
                zones.add(zone);
            } else {
                throw new IllegalArgumentException("no run length of rule " + rule.name() + ": it is no zone rule");
            }
        }
        return new ZoneChain(zones, shift).length();
    }

    /**
     * Of an exponentially weighted moving average with limits at plus and minus {@code limit} of its own asymptotic standard
     * deviations, started at the centre: Fredholm equation by Gauss-Legendre quadrature (Crowder 1987, Technometrics 29:401).
     *
     * @param lambda weight of the newest value, above 0 and at most 1
     */
    public static double ewma(double lambda, double limit, double shift) {
        double h = limit * Math.sqrt(lambda / (2 - lambda));
        GaussIntegrator rule = INTEGRATORS.legendre(NODES, -h, h);
        double[][] a = new double[NODES][NODES];
        for (int i = 0; i < NODES; i++) {
            for (int j = 0; j < NODES; j++) {
                double kernel = density((rule.getPoint(j) - (1 - lambda) * rule.getPoint(i)) / lambda - shift) / lambda;
                a[i][j] = (i == j ? 1 : 0) - rule.getWeight(j) * kernel;
            }
        }
        double[] length = solve(a);
        double atCentre = 1;
        for (int j = 0; j < NODES; j++) {
            atCentre += rule.getWeight(j) * density(rule.getPoint(j) / lambda - shift) / lambda * length[j];
        }
        return atCentre;
    }

    /**
     * Of a one-sided upper cumulative sum with reference value {@code k} and decision interval {@code h}, both in standard
     * deviations (Vance 1986, J. Quality Technology 18:189).
     *
     * @param headStart where the sum starts, 0 to h
     */
    public static double cusum(double k, double h, double shift, double headStart) {
        GaussIntegrator rule = INTEGRATORS.legendre(NODES, 0, h);
        // Row and column 0 stand for the sum at zero, where it can rest.
        double[][] a = new double[NODES + 1][NODES + 1];
        for (int i = 0; i <= NODES; i++) {
            double from = i == 0 ? 0 : rule.getPoint(i - 1);
            a[i][0] = -cumulative(k - from - shift);
            for (int j = 0; j < NODES; j++) {
                a[i][j + 1] = -rule.getWeight(j) * density(rule.getPoint(j) + k - from - shift);
            }
            a[i][i] += 1;
        }
        double[] length = solve(a);
        double atStart = 1 + cumulative(k - headStart - shift) * length[0];
        for (int j = 0; j < NODES; j++) {
            atStart += rule.getWeight(j) * density(rule.getPoint(j) + k - headStart - shift) * length[j + 1];
        }
        return atStart;
    }

    /** Of two one-sided cumulative sums, up and down, with the same head start (Lucas and Crosier 1982, Technometrics 24:199). */
    public static double cusumTwoSided(double k, double h, double shift, double headStart) {
        double up = cusum(k, h, shift, 0);
        double down = cusum(k, h, -shift, 0);
        double upStart = cusum(k, h, shift, headStart);
        double downStart = cusum(k, h, -shift, headStart);
        return (upStart * down + up * downStart - up * down) / (up + down);
    }

    private static double[] solve(double[][] a) {
        double[] ones = new double[a.length];
        Arrays.fill(ones, 1);
        return new LUDecomposition(new Array2DRowRealMatrix(a, false), 0)
                .getSolver()
                .solve(new ArrayRealVector(ones, false))
                .toArray();
    }

    private static double density(double z) {
        return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
    }

    private static double cumulative(double z) {
        return 0.5 * Erf.erfc(-z / Math.sqrt(2));
    }

    /** The chain of what the rules remember of the last values: for each rule, which of them lay in its zone. */
    private static final class ZoneChain {
        private final List<Rule.Zone> rules;
        private final double[] regionChance;
        private final boolean[][] inside;

        ZoneChain(List<Rule.Zone> rules, double shift) {
            this.rules = rules;
            TreeSet<Double> edges = new TreeSet<>();
            rules.forEach(rule -> {
                edges.add(rule.from());
                edges.add(rule.to());
            });
            edges.add(Double.NEGATIVE_INFINITY);
            edges.add(Double.POSITIVE_INFINITY);
            List<Double> bounds = new ArrayList<>(edges);
            int regions = bounds.size() - 1;
            regionChance = new double[regions];
            inside = new boolean[regions][rules.size()];
            for (int r = 0; r < regions; r++) {
                double low = bounds.get(r);
                double high = bounds.get(r + 1);
                regionChance[r] = between(low - shift, high - shift);
                for (int i = 0; i < rules.size(); i++) {
                    inside[r][i] =
                            low >= rules.get(i).from() && high <= rules.get(i).to();
                }
            }
        }

        // The tail far from the centre is calculated from its own side, so that it keeps its digits.
        private static double between(double low, double high) {
            return low > 0 ? cumulative(-low) - cumulative(-high) : cumulative(high) - cumulative(low);
        }

        double length() {
            Map<List<Integer>, Integer> states = new HashMap<>();
            Queue<List<Integer>> open = new ArrayDeque<>();
            List<Integer> start = rules.stream().map(rule -> 0).toList();
            states.put(start, 0);
            open.add(start);
            List<Map<Integer, Double>> steps = new ArrayList<>();
            while (!open.isEmpty()) {
                List<Integer> state = open.remove();
                Map<Integer, Double> step = new HashMap<>();
                for (int r = 0; r < regionChance.length; r++) {
                    List<Integer> next = next(state, r);
                    if (next.isEmpty()) {
                        continue;
                    }
                    Integer known = states.get(next);
                    if (known == null) {
                        known = states.size();
                        states.put(next, known);
                        open.add(next);
                    }
                    step.merge(known, regionChance[r], Double::sum);
                }
                steps.add(step);
            }
            double[][] a = new double[states.size()][states.size()];
            for (int i = 0; i < a.length; i++) {
                a[i][i] += 1;
                for (Map.Entry<Integer, Double> step : steps.get(i).entrySet()) {
                    a[i][step.getKey()] -= step.getValue();
                }
            }
            return solve(a)[0];
        }

        /** What is remembered after a value in a region; empty when a rule signals. */
        private List<Integer> next(List<Integer> state, int region) {
            List<Integer> next = new ArrayList<>(rules.size());
            for (int i = 0; i < rules.size(); i++) {
                Rule.Zone rule = rules.get(i);
                int bits = (state.get(i) << 1 | (inside[region][i] ? 1 : 0)) & ((1 << rule.n()) - 1);
                if (inside[region][i] && Integer.bitCount(bits) >= rule.k()) {
                    return List.of();
                }
                next.add(remembered(bits & ((1 << (rule.n() - 1)) - 1), rule));
            }
            return next;
        }

        // A value inside, so old that it must leave the window before the rule can signal with it, is forgotten.
        private static int remembered(int bits, Rule.Zone rule) {
            int kept = bits;
            while (kept != 0) {
                int oldest = 31 - Integer.numberOfLeadingZeros(kept);
                int stillToCome = rule.n() - 1 - oldest;
                if (Integer.bitCount(kept) + stillToCome >= rule.k()) {
                    break;
                }
                kept &= ~(1 << oldest);
            }
            return kept;
        }
    }
}
