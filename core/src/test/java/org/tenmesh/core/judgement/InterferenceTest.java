package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.statistics.LeastSquares;

class InterferenceTest {
    private static Interference of(double share, double proportion) {
        return new Interference("B", "Fe", share, 0, proportion, 5, CauseKind.CONTROL_FAILED, List.of(), 0);
    }

    /**
     * {@code c = c_app - k c_Fe}, the form that US EPA methods 200.7 and 6010 use (from memory); numbers calculated by hand:
     * 0.125 - 0.0004 x 22.5 = 0.116.
     */
    @Test
    void standardsOfOneElementLeaveTheUsualCorrection() {
        assertThat(of(0.0004, 0).added(0.125, 22.5)).isCloseTo(0.009, within(1e-12));
        assertThat(of(0.0005, 0).added(0.120, 18.0)).isCloseTo(0.009, within(1e-12));
    }

    /** A calibration with both elements in its standards, fitted by least squares, and soils read by it. */
    @Test
    void isWhatACalibrationWithBothElementsReadsTooMuch() {
        Random random = new Random(20261125);
        for (int i = 0; i < 200; i++) {
            readsTooMuch(
                    0.01 * random.nextDouble(),
                    20 * random.nextDouble(),
                    0.1 + 5 * random.nextDouble(),
                    300 * random.nextDouble());
        }
    }

    private static void readsTooMuch(double overlap, double proportion, double own, double other) {
        double[][] standards = {{0.5}, {1}, {2}, {5}};
        double[] signals = new double[standards.length];
        for (int i = 0; i < signals.length; i++) {
            signals[i] = 1000 * (standards[i][0] + overlap * proportion * standards[i][0]);
        }
        double slope = LeastSquares.fit(standards, signals, false).coefficient(0);
        double read = 1000 * (own + overlap * other) / slope;

        // g = k / (1 + k r), so that the reading is c + g (x - r c).
        double share = overlap / (1 + overlap * proportion);
        assertThat(read).isCloseTo(own + share * (other - proportion * own), within(1e-9));
        assertThat(read - of(share, proportion).added(read, other)).isCloseTo(own, within(1e-9));
    }

    @Test
    void anUnknownContentAddsNothing() {
        assertThat(of(0.001, 0).added(0.5, Double.NaN)).isZero();
    }
}
