package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;

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
}
