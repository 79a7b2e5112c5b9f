package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.Quantiles;

/** A published calibration with weights of its own. */
class CurveReferenceTest {
    // Massart et al. 1997, chapter 8, example 8, page 200: level means, weights 1/s^2 as the book rounds
    // them; its half-width at 90 prints 7.9 and the unrounded arithmetic gives 7.855. Read in the R package chemCal.
    @Test
    void agreesWithMassartWeightedExample() {
        double[] x = {0, 10, 20, 30, 40, 50};
        double[] mean = new double[6];
        double[][] read = {
            {4, 22, 44, 60, 75, 104},
            {3, 20, 46, 63, 81, 109},
            {4, 21, 45, 60, 79, 107},
            {5, 22, 44, 63, 78, 101},
            {4, 21, 44, 63, 77, 105}
        };
        for (double[] levels : read) {
            for (int i = 0; i < mean.length; i++) {
                mean[i] += levels[i] / read.length;
            }
        }
        double[] weights = {1.984, 1.417, 1.262, 0.372, 0.199, 0.109};
        Curve curve = CurveFit.fit(x, mean, weights, Shape.LINE, Weighting.NONE);
        double t = Quantiles.t(0.975, curve.residualDegrees());
        assertThat(curve.concentration(15)).isCloseTo(5.9, within(0.05));
        assertThat(t * curve.concentrationSe(15, 1, 1.67)).isCloseTo(2.5, within(0.05));
        assertThat(curve.concentration(90)).isCloseTo(44.1, within(0.05));
        assertThat(t * curve.concentrationSe(90, 1, 0.145)).isCloseTo(7.9, within(0.06));
    }
}
