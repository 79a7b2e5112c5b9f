package org.tenmesh.simulator;

/**
 * Draws soils that hang together: log-normal contents joined by a Gaussian copula, in three levels (client, field, soil).
 *
 * <p>Correlations: Pearson, pH linear and the rest log10, of 1018 German arable topsoils (ANAPLANT project 2025, derived
 * statistics only). Sulfur and aluminium follow carbon, potassium and pH as in the sub-Saharan reference soils (AfSIS
 * phase I), sodium follows calcium and pH as in 42 maize sites (Genomes to Fields 2018-2019), all as regressions of
 * standardised values on the printed correlations. Shares of the levels follow one Brazilian field on a grid (R package
 * geoR, soil250), where the standard deviation inside a field is a fifth to a third of that between fields.
 */
final class SoilModel {
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
    private static final double[][] FACTOR = cholesky(CORRELATION);
    private static final double[] SHARE = {0.70, 0.22, 0.08};

    private SoilModel() {}

    /** Standardised deviates of one level, correlated, in the order of {@code ORDER} then Na, S, Al. */
    static double[] level(Chance chance) {
        int n = ORDER.length;
        double[] independent = new double[n];
        for (int i = 0; i < n; i++) {
            independent[i] = chance.normal();
        }
        double[] z = new double[n + 3];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j <= i; j++) {
                z[i] += FACTOR[i][j] * independent[j];
            }
        }
        z[n] = 0.439 * z[CA] + 0.039 * z[PH] + 0.887 * chance.normal();
        z[n + 1] = 0.273 * z[C] + 0.365 * z[K] + 0.863 * chance.normal();
        // Divided by the spread that follows from the German pH to carbon correlation.
        z[n + 2] = (-0.453 * z[PH] + 0.430 * z[C] + 0.753 * chance.normal()) / 0.910;
        return z;
    }

    /** A soil from its client's, its field's and its own deviates. */
    static SoilContent soil(double[] client, double[] field, double[] own) {
        double[] z = new double[client.length];
        for (int i = 0; i < z.length; i++) {
            z[i] = Math.sqrt(SHARE[0]) * client[i] + Math.sqrt(SHARE[1]) * field[i] + Math.sqrt(SHARE[2]) * own[i];
        }
        double ph = Math.min(8.6, Math.max(4.3, 6.5 + 0.65 * z[PH]));
        double carbonPct = 1.58 * StrictMath.pow(10, 0.16 * z[C]);
        // Humus is 1.72 times carbon in the German table; some mineral water goes at 360 °C as well.
        double loiPct = 1.72 * carbonPct + 0.4;
        double[] mgKg = new double[Element.ALL.size()];
        for (int e = 0; e < mgKg.length; e++) {
            Element element = Element.ALL.get(e);
            mgKg[e] = element.medianMgKg() * StrictMath.pow(10, element.sdLog10() * z[place(element.symbol())]);
        }
        return new SoilContent(ph, loiPct, mgKg);
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
