package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.Quantiles;

/** Limits of a known spread, and linearity. */
class LimitsReferenceTest {
    // DIN 32645:1994, worked example, as carried by the R package chemCal.
    private static final double[] X = {0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5};
    private static final double[] Y = {3060, 3522, 3707, 4280, 5058, 5510, 5703, 6205, 7156, 7178};

    // ISO 8466-1 on these data: 0.07681 against F(0.99; 1, 7) = 12.246, computed by the project with 80 digits.
    @Test
    void findsTheStandardsExampleStraight() {
        Curve line = CurveFit.fit(X, Y, Shape.LINE, Weighting.NONE);
        Curve quadratic = CurveFit.fit(X, Y, Shape.QUADRATIC, Weighting.NONE);
        assertThat(line.gainOf(quadratic)).isCloseTo(0.07681, within(5e-6));
        assertThat(Quantiles.f(0.99, 1, 7)).isCloseTo(12.246, within(5e-4));
        assertThatThrownBy(() -> quadratic.gainOf(quadratic))
                .hasMessageContaining("QUADRATIC of 10 and QUADRATIC of 10");
        assertThatThrownBy(() -> line.gainOf(line)).hasMessageContaining("LINE of 10 and LINE of 10");
        Curve fewer =
                CurveFit.fit(new double[] {0, 1, 2, 3}, new double[] {0, 1, 2.1, 3}, Shape.QUADRATIC, Weighting.NONE);
        assertThatThrownBy(() -> line.gainOf(fewer)).hasMessageContaining("LINE of 10 and QUADRATIC of 4");
    }

    // The definition itself: a third of the quantification limit is its half-width, however the standards are weighted.
    @ParameterizedTest
    @EnumSource(Weighting.class)
    void findsWhereTheHalfWidthIsAThird(Weighting weighting) {
        Curve line = CurveFit.fit(X, Y, Shape.LINE, weighting);
        DetectionLimits limits = DetectionLimits.of(line, 0.01, 3, 2);
        double x = limits.quantification();
        double halfWidth = Quantiles.t(0.995, 8) * line.concentrationSe(line.signalAt(x), 2, line.weightAt(x));
        assertThat(halfWidth).isCloseTo(x / 3, within(1e-10 * x));
        assertThat(limits.detection()).isEqualTo(2 * limits.critical());
    }

    // Weighted 1/x^2 and noisy, the half-width grows with x faster than a third of it: there is no such x.
    @Test
    void saysWhenNothingCanBeQuantified() {
        double[] x = {1, 2, 4, 8, 16};
        double[] y = {160, 120, 560, 500, 2400};
        DetectionLimits limits =
                DetectionLimits.of(CurveFit.fit(x, y, Shape.LINE, Weighting.ONE_OVER_X_SQUARED), 0.01, 3, 1);
        assertThat(limits.quantification()).isNaN();
        assertThat(limits.critical()).isPositive();
        assertThat(limits.detection()).isEqualTo(2 * limits.critical());
    }
}
