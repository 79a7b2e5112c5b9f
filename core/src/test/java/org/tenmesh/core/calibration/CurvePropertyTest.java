package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.LeastSquares;

/** What must hold of every calibration, on seeded random ones. */
class CurvePropertyTest {
    @ParameterizedTest
    @EnumSource(Weighting.class)
    void readsBackEverySignalInsideTheRange(Weighting weighting) {
        for (long seed = 1; seed <= 300; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            double b = random.nextDouble(1, 1000) * (random.nextBoolean() ? 1 : -1);
            double top = random.nextDouble(1, 500);
            // Curved by up to 40 % over the range: the slope keeps its sign.
            double c = random.nextDouble(-0.4, 0.4) * b / top;
            double[] x = {0, 0.05 * top, 0.1 * top, 0.25 * top, 0.5 * top, top};
            double[] y = new double[x.length];
            for (int i = 0; i < x.length; i++) {
                y[i] = 3 + x[i] * (b + c * x[i]);
            }
            Curve curve = CurveFit.fit(x, y, Shape.QUADRATIC, weighting);
            for (double share = 0; share <= 1; share += 0.125) {
                double at = share * top;
                assertThat(curve.concentration(curve.signalAt(at)))
                        .as("seed %d at %s", seed, at)
                        .isCloseTo(at, within(1e-9 * top));
            }
        }
    }

    // A quadratic through points of a straight line is that line, and both know their uncertainty alike where it is
    // exact.
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void keepsStandardErrorsWhenUnitsChange(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] x = {0.5, 1, 2, 5, 10, 20};
        double[] y = new double[x.length];
        double[] tenfold = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = 12 + 340 * x[i] + random.nextDouble(-20, 20);
            tenfold[i] = 10 * x[i];
        }
        for (Shape shape : Shape.values()) {
            for (Weighting weighting : Weighting.values()) {
                Curve curve = CurveFit.fit(x, y, shape, weighting);
                Curve soil = CurveFit.fit(tenfold, y, shape, weighting);
                double signal = 1500;
                double at = curve.concentration(signal);
                assertThat(soil.concentration(signal)).as("seed %d", seed).isCloseTo(10 * at, within(1e-9));
                assertThat(soil.concentrationSe(signal, 3, soil.weightAt(10 * at)))
                        .as("seed %d %s %s", seed, shape, weighting)
                        .isCloseTo(10 * curve.concentrationSe(signal, 3, curve.weightAt(at)), within(1e-9));
            }
        }
    }

    // Scaling all weights, those of the sample with them, changes neither the answer nor its standard error.
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void doesNotMindTheScaleOfTheWeights(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] x = {0, 1, 2, 5, 10};
        double[] y = new double[x.length];
        double[] weights = new double[x.length];
        double[] scaled = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = 5 + 100 * x[i] + random.nextDouble(-5, 5);
            weights[i] = random.nextDouble(0.1, 3);
            scaled[i] = 700 * weights[i];
        }
        for (Shape shape : Shape.values()) {
            Curve one = CurveFit.fit(x, y, weights, shape, Weighting.NONE);
            Curve other = CurveFit.fit(x, y, scaled, shape, Weighting.NONE);
            assertThat(other.concentration(400)).as("seed %d", seed).isCloseTo(one.concentration(400), within(1e-10));
            assertThat(other.concentrationSe(400, 2, 700 * 0.8))
                    .as("seed %d", seed)
                    .isCloseTo(one.concentrationSe(400, 2, 0.8), within(1e-10));
        }
    }

    // The stated standard error is the spread really seen when standards and sample are read again and again.
    @ParameterizedTest
    @EnumSource(Shape.class)
    void statesTheSpreadThatRepeatedCalibrationsShow(Shape shape) {
        double[] x = {0, 1, 2, 4, 6, 8, 10, 12};
        double sd = 0.6;
        double curved = shape == Shape.LINE ? 0 : -0.4;
        long seed = 20261125;
        java.util.Random random = new java.util.Random(seed);
        double stated = 0;
        double squares = 0;
        int rounds = 6000;
        for (int round = 0; round < rounds; round++) {
            double[] y = new double[x.length];
            for (int i = 0; i < x.length; i++) {
                y[i] = 2 + x[i] * (20 + curved * x[i]) + sd * random.nextGaussian();
            }
            Curve curve = CurveFit.fit(x, y, shape, Weighting.NONE);
            double signal = 2 + 5 * (20 + curved * 5) + sd * random.nextGaussian();
            double se = curve.concentrationSe(signal, 1, 1);
            stated += se * se;
            double off = curve.concentration(signal) - 5;
            squares += off * off;
        }
        // 6000 rounds know a variance to 2 %; three of those.
        assertThat(stated / squares).as("seed %d", seed).isCloseTo(1, within(0.06));
    }

    // Standards crowded at the low end, so that no term vanishes by symmetry; against plain least squares on 1, x, x^2.
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void statesEveryCovarianceAsPlainLeastSquaresDoes(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] x = {0.5, 1, 1.5, 2, 4, 9, 20};
        double[] y = new double[x.length];
        double[] weights = new double[x.length];
        double[][] rows = new double[x.length][];
        for (int i = 0; i < x.length; i++) {
            y[i] = 12 + 34 * x[i] - 0.4 * x[i] * x[i] + random.nextDouble(-2, 2);
            weights[i] = random.nextDouble(0.2, 3);
            rows[i] = new double[] {1, x[i], x[i] * x[i]};
        }
        LeastSquares plain = LeastSquares.fit(rows, y, weights, true);
        Curve curve = CurveFit.fit(x, y, weights, Shape.QUADRATIC, Weighting.NONE);
        Curve.Covariance found = curve.covariance();
        double[][] pairs = {
            {curve.a(), plain.coefficient(0)},
            {curve.b(), plain.coefficient(1)},
            {curve.c(), plain.coefficient(2)},
            {curve.seOfA(), plain.standardError(0)},
            {curve.seOfB(), plain.standardError(1)},
            {curve.seOfC(), plain.standardError(2)},
            {found.aa(), plain.covariance(0, 0)},
            {found.ab(), plain.covariance(0, 1)},
            {found.ac(), plain.covariance(0, 2)},
            {found.bb(), plain.covariance(1, 1)},
            {found.bc(), plain.covariance(1, 2)},
            {found.cc(), plain.covariance(2, 2)},
            {curve.residualSd(), plain.residualSd()},
            {curve.correlation() * curve.correlation(), plain.rSquared()}
        };
        for (int i = 0; i < pairs.length; i++) {
            assertThat(pairs[i][0])
                    .as("seed %d, pair %d", seed, i)
                    .isCloseTo(pairs[i][1], within(1e-9 * Math.abs(pairs[i][1])));
        }
        assertThat(plain.n()).isEqualTo(7);
        assertThat(plain.columns()).isEqualTo(3);
        assertThat(plain.residualSumOfSquares()).isCloseTo(4 * plain.residualSd() * plain.residualSd(), within(1e-9));
    }

    // Rising at 0, falling over its whole range, and the other way about: the sign that counts is the one in the range.
    @ParameterizedTest
    @ValueSource(doubles = {1, -1})
    void readsACurveBackThatTurnsBelowItsRange(double sign) {
        double[] x = {3, 4, 6, 7, 10};
        double[] y = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = sign * (50 + 2 * x[i] - x[i] * x[i]);
        }
        Curve curve = CurveFit.fit(x, y, Shape.QUADRATIC, Weighting.NONE);
        for (int i = 0; i < x.length; i++) {
            assertThat(curve.concentration(y[i])).isCloseTo(x[i], within(1e-10));
        }
        assertThat(curve.correlation()).isCloseTo(-sign, within(1e-12));
    }
}
