package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;

class ChartReferenceTest {
    /**
     * Montgomery, D. C., Introduction to Statistical Quality Control, viscosity of aircraft primer paint, p. 242 (data as carried by the
     * R package qcc); limits computed apart from this program.
     */
    @Test
    void individualsOfThePrimerPaint() {
        double[] viscosity = {
            33.75, 33.05, 34, 33.81, 33.46, 34.02, 33.68, 33.27, 33.49, 33.20, 33.62, 33.00, 33.54, 33.12, 33.84
        };
        ChartLimits limits = ChartLimits.ofMovingRange(viscosity);
        assertThat(limits.centre()).isCloseTo(33.5233, within(5e-5));
        assertThat(limits.centre() - 3 * limits.sd()).isCloseTo(32.2453, within(5e-5));
        assertThat(limits.centre() + 3 * limits.sd()).isCloseTo(34.8014, within(5e-5));
        assertThat(limits.upperMovingRange()).isCloseTo(1.57027, within(5e-5));
    }

    /** NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4, EWMA example (from memory; the arithmetic is reproduced). */
    @Test
    void ewmaOfTheHandbook() {
        double[] x = {
            52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4,
            53.6, 52.1
        };
        double[] printed = {
            50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
            49.92, 50.73, 51.23, 51.94, 51.99
        };
        double sd = 2.0539;
        double[] average =
                SmallShift.ewma(Arrays.stream(x).map(v -> (v - 50) / sd).toArray(), 0.3);
        for (int i = 0; i < x.length; i++) {
            assertThat(50 + sd * average[i]).isCloseTo(printed[i], within(0.0051));
        }
        assertThat(50 + sd * SmallShift.ewmaLimit(0.3, 3, 1000)).isCloseTo(52.5884, within(1e-4));
    }

    @Test
    void namesTheRulesThatAreBroken() {
        double[] z = {0.1, 2.2, 0.3, 2.5, 3.4, -0.2};
        List<List<String>> broken = RuleSet.westernElectric().broken(z);
        assertThat(broken.get(2)).isEmpty();
        assertThat(broken.get(3)).containsExactly("2 of 3 beyond 2s");
        assertThat(broken.get(4)).containsExactly("1 beyond 3s", "2 of 3 beyond 2s");
        assertThat(broken.get(5)).isEmpty();
        double[] rising = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.4};
        assertThat(RuleSet.nelson().broken(rising).get(5)).containsExactly("6 steadily up or down");
        assertThat(RuleSet.nelson().broken(rising).get(6)).isEmpty();
        double[] swinging = new double[14];
        for (int i = 0; i < swinging.length; i++) {
            swinging[i] = i % 2 == 0 ? 1.1 : -1.1;
        }
        assertThat(RuleSet.nelson().broken(swinging).get(13)).contains("14 alternating", "8 outside 1s");
    }

    @Test
    void cumulativeSumAddsUpASmallShift() {
        double[] z = {1, 1, 1, 1, 1, 1, 1, 1};
        double[] sums = SmallShift.cusum(z, 0.5, 0);
        assertThat(sums).containsExactly(0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4);
        assertThat(SmallShift.cusum(new double[] {-1, -1, 2}, 0.5, 2)).containsExactly(0.5, 0, 1.5);
    }
}
