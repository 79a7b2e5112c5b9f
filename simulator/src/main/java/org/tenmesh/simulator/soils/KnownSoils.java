package org.tenmesh.simulator.soils;

import java.util.ArrayList;
import java.util.List;

/**
 * The model of the invented soils itself, which no laboratory has: what a judge could do at the most is calculated from it.
 */
public final class KnownSoils {
    private KnownSoils() {}

    /** What a soil holds, in the order of {@link #covariance}: {@code pH}, {@code LOI}, then the elements of the plasma. */
    public static List<String> symbols() {
        List<String> symbols = new ArrayList<>(List.of("pH", "LOI"));
        symbols.addAll(Element.SYMBOLS);
        return List.copyOf(symbols);
    }

    /**
     * Covariance between all soils of a ground: pH as it is, of the rest natural logarithms, the loss at its middle. Clients, fields and soils
     * share it out by {@link Likeness}: each level has this matrix times its share.
     */
    public static double[][] covariance(Ground ground) {
        return SoilModel.covariance(ground);
    }
}
