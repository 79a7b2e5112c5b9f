package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.statistics.ChartConstants;
import org.tenmesh.core.statistics.Spread;

class PistonRingsReferenceTest {
    private static double[][] samples() {
        Map<Integer, List<Double>> samples = new TreeMap<>();
        for (List<String> row : RunLengthReferenceTest.rows("piston-rings.csv")) {
            samples.computeIfAbsent(Integer.valueOf(row.get(0)), key -> new ArrayList<>())
                    .add(Double.valueOf(row.get(2)));
        }
        return samples.values().stream()
                .map(sample -> sample.stream().mapToDouble(Double::doubleValue).toArray())
                .toArray(double[][]::new);
    }

    /**
     * Montgomery, D. C., Introduction to Statistical Quality Control, inside diameters of piston rings (data as carried by the R package qcc);
     * the book's 74.001, 73.988, 74.014 from memory, the further digits computed apart from this program.
     */
    @Test
    void meansAndStandardDeviationsOfThePistonRings() {
        double[][] all = samples();
        double[][] base = java.util.Arrays.copyOf(all, 25);
        ChartLimits limits = ChartLimits.ofGroups(base);
        assertThat(limits.centre()).isCloseTo(74.001176, within(5e-7));
        assertThat(limits.sd()).isCloseTo(0.0098300, within(5e-8));
        ChartConstants constants = ChartConstants.of(5);
        double low = limits.centre() - constants.a() * limits.sd();
        double high = limits.centre() + constants.a() * limits.sd();
        assertThat(low).isCloseTo(73.987988, within(5e-7));
        assertThat(high).isCloseTo(74.014364, within(5e-7));
        assertThat(constants.b6() * limits.sd()).isCloseTo(0.019302, within(5e-7));
        List<Integer> outside = new ArrayList<>();
        for (int i = 0; i < all.length; i++) {
            Spread spread = Spread.of(all[i]);
            if (spread.mean() < low || spread.mean() > high || spread.sd() > constants.b6() * limits.sd()) {
                outside.add(i + 1);
            }
        }
        assertThat(outside).containsExactly(37, 38, 39);
    }
}
