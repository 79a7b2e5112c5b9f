package org.tenmesh.simulator.soils;

import static java.util.Objects.requireNonNull;

import java.util.EnumMap;
import java.util.Map;
import org.tenmesh.simulator.numbers.Chance;

/**
 * Draws soils that agree with each other: log-normal contents joined by a Gaussian copula, in three levels (client, field, soil).
 *
 * <p>Correlations: Pearson, pH linear and the rest log10, of 1018 German arable topsoils (ANAPLANT project 2025, derived
 * statistics only). Sulfur and aluminium follow carbon, potassium and pH as in the sub-Saharan reference soils (AfSIS
 * phase I), sodium follows calcium and pH as in 42 maize sites (Genomes to Fields 2018-2019), all as regressions of
 * standardised values on the printed correlations. What differs on other kinds of ground stands in {@link Ground}, the shares of
 * the levels in {@link Likeness}.
 */
public final class SoilModel {
    private static final int PH = 0;
    private static final int C = 1;
    private static final int K = 3;
    private static final int CA = 5;
    /** Lower triangle: pH, C, P, K, Mg, Ca, B, Mn, Cu, Zn, Fe. */
    private static final double[][] CORRELATION = {
        {1},
        {0.33, 1},
        {0.35, 0.14, 1},
        {0.36, 0.42, 0.51, 1},
        {0.11, 0.56, 0.04, 0.24, 1},
        {0.67, 0.67, 0.13, 0.29, 0.42, 1},
        {0.46, 0.59, 0.16, 0.36, 0.43, 0.57, 1},
        {0.01, 0.06, -0.16, 0.09, 0.31, 0.18, 0.39, 1},
        {-0.06, 0.16, 0.01, 0.04, 0.34, 0.21, 0.23, 0.52, 1},
        {0.05, 0.13, 0.31, 0.23, 0.15, 0.08, 0.25, 0.39, 0.54, 1},
        {-0.83, -0.25, -0.29, -0.28, 0.01, -0.55, -0.32, 0.15, 0.15, 0.09, 1},
    };

    private static final String[] ORDER = {"pH", "C", "P", "K", "Mg", "Ca", "B", "Mn", "Cu", "Zn", "Fe"};
    private static final Map<Ground, double[][]> FACTORS = factors();

    private SoilModel() {}

    private static Map<Ground, double[][]> factors() {
        Map<Ground, double[][]> factors = new EnumMap<>(Ground.class);
        for (Ground ground : Ground.values()) {
            double[][] lower = new double[ORDER.length][];
            for (int i = 0; i < ORDER.length; i++) {
                lower[i] = CORRELATION[i].clone();
                for (int j = 0; j < i; j++) {
                    lower[i][j] = ground.correlation(ORDER[i], ORDER[j], CORRELATION[i][j]);
                }
            }
            factors.put(ground, cholesky(lower));
        }
        return factors;
    }

    /** Standardised deviates of one level of arable land, correlated, in the order of {@code ORDER} then Na, S, Al. */
    public static double[] level(Chance chance) {
        return level(Ground.ARABLE, chance);
    }

    /** As above, of another kind of ground. */
    public static double[] level(Ground ground, Chance chance) {
        double[] independent = new double[ORDER.length + 3];
        for (int i = 0; i < independent.length; i++) {
            independent[i] = chance.normal();
        }
        return joined(ground, independent);
    }

    /** Standardised deviates as they agree with each other, from as many independent ones. */
    static double[] joined(Ground ground, double[] independent) {
        double[][] factor = requireNonNull(FACTORS.get(ground));
        int n = ORDER.length;
        double[] z = new double[n + 3];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j <= i; j++) {
                z[i] += factor[i][j] * independent[j];
            }
        }
        z[n] = 0.439 * z[CA] + 0.039 * z[PH] + 0.887 * independent[n];
        z[n + 1] = 0.273 * z[C] + 0.365 * z[K] + 0.863 * independent[n + 1];
        double byCarbon = ground.aluminiumByCarbon();
        if (byCarbon == 0) {
            double r = ground.correlation("pH", "C", CORRELATION[C][PH]);
            // The spread that follows from the correlation of pH and carbon; three digits for the German table's.
            double spread = ground == Ground.ARABLE
                    ? 0.910
                    : Math.sqrt(0.453 * 0.453 + 0.430 * 0.430 - 2 * 0.453 * 0.430 * r + 0.753 * 0.753);
            z[n + 2] = (-0.453 * z[PH] + 0.430 * z[C] + 0.753 * independent[n + 2]) / spread;
        } else {
            z[n + 2] = byCarbon * z[C] + Math.sqrt(1 - byCarbon * byCarbon) * independent[n + 2];
        }
        return z;
    }

    /** A soil of arable land from its client's, its field's and its own deviates. */
    public static SoilContent soil(double[] client, double[] field, double[] own) {
        return soil(Ground.ARABLE, Likeness.usual(), client, field, own);
    }

    /** A soil from its client's, its field's and its own deviates. */
    public static SoilContent soil(Ground ground, Likeness likeness, double[] client, double[] field, double[] own) {
        double[] z = new double[client.length];
        for (int i = 0; i < z.length; i++) {
            z[i] = Math.sqrt(likeness.client()) * client[i]
                    + Math.sqrt(likeness.field()) * field[i]
                    + Math.sqrt(likeness.soil()) * own[i];
        }
        Ground.Reaction reaction = ground.reaction();
        double ph = Math.min(reaction.high(), Math.max(reaction.low(), reaction.mean() + reaction.sd() * z[PH]));
        Ground.Organic organic = ground.organic();
        double carbonPct = organic.medianPct() * StrictMath.pow(10, organic.sdLog10() * z[C]);
        // Humus is 1.72 times carbon in the German table; some mineral water goes at 360 °C as well.
        double loiPct = Math.min(organic.highLossPct(), Math.max(organic.lowLossPct(), 1.72 * carbonPct + 0.4));
        double[] mgKg = new double[Element.ALL.size()];
        for (int e = 0; e < mgKg.length; e++) {
            Element element = Element.ALL.get(e);
            mgKg[e] = ground.medianMgKg(element)
                    * StrictMath.pow(10, ground.sdLog10(element) * z[place(element.symbol())]);
        }
        return new SoilContent(ph, loiPct, mgKg);
    }

    /** Covariance of what a soil holds at the middle of its ground, between all soils: pH, then natural logarithms of the loss and of every element. */
    static double[][] covariance(Ground ground) {
        int n = ORDER.length + 3;
        int columns = 2 + Element.ALL.size();
        double[][] by = new double[columns][n];
        double carbonPct = ground.organic().medianPct();
        for (int k = 0; k < n; k++) {
            double[] one = new double[n];
            one[k] = 1;
            double[] z = joined(ground, one);
            by[0][k] = ground.reaction().sd() * z[PH];
            by[1][k] = 1.72
                    * carbonPct
                    / (1.72 * carbonPct + 0.4)
                    * Math.log(10)
                    * ground.organic().sdLog10()
                    * z[C];
            for (int e = 0; e < Element.ALL.size(); e++) {
                Element element = Element.ALL.get(e);
                by[2 + e][k] = Math.log(10) * ground.sdLog10(element) * z[place(element.symbol())];
            }
        }
        double[][] covariance = new double[columns][columns];
        for (int i = 0; i < columns; i++) {
            for (int j = 0; j < columns; j++) {
                for (int k = 0; k < n; k++) {
                    covariance[i][j] += by[i][k] * by[j][k];
                }
            }
        }
        return covariance;
    }

    private static int place(String symbol) {
        for (int i = 2; i < ORDER.length; i++) {
            if (ORDER[i].equals(symbol)) {
                return i;
            }
        }
        return switch (symbol) {
            case "Na" -> ORDER.length;
            case "S" -> ORDER.length + 1;
            default -> ORDER.length + 2;
        };
    }

    /** Lower triangular factor L with L Lᵀ equal to a positive definite matrix given by its lower triangle. */
    private static double[][] cholesky(double[][] lower) {
        int n = lower.length;
        double[][] factor = new double[n][n];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j <= i; j++) {
                double sum = lower[i][j];
                for (int k = 0; k < j; k++) {
                    sum -= factor[i][k] * factor[j][k];
                }
                if (i == j) {
                    if (sum <= 0) {
                        throw new IllegalArgumentException("row " + i + " makes the matrix indefinite");
                    }
                    factor[i][i] = Math.sqrt(sum);
                } else {
                    factor[i][j] = sum / factor[j][j];
                }
            }
        }
        return factor;
    }
}
