package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.hipparchus.analysis.integration.IterativeLegendreGaussIntegrator;
import org.hipparchus.distribution.continuous.ExponentialDistribution;
import org.hipparchus.distribution.continuous.GammaDistribution;
import org.hipparchus.distribution.continuous.ParetoDistribution;
import org.junit.jupiter.api.Test;

/** Against a general library: the mixture that the chance of the next value is by definition, and samples whose tail is known. */
class ExponentialTailReferenceTest {
    private static final double[] EXCESSES = {0.2, 0.4, 0.5, 1.1, 0.3};

    /** The mean over a gamma density of the reciprocal of the scale, by numerical integration (Hipparchus). */
    @Test
    void theChanceIsTheMeanOverTheScalesThatTheSampleAllows() {
        double weight = 3;
        double scale = 0.4;
        ExponentialTail tail = ExponentialTail.of(EXCESSES, 99, 0, 1, weight, scale);
        double sum = weight * scale + 2.5;
        GammaDistribution rate = new GammaDistribution(weight + EXCESSES.length, 1 / sum);
        IterativeLegendreGaussIntegrator integrator = new IterativeLegendreGaussIntegrator(8, 1e-10, 1e-14);

        for (double value : new double[] {0, 0.5, 2, 6}) {
            double exceeds = integrator.integrate(1_000_000, of -> Math.exp(-of * value) * rate.density(of), 0, 60);
            assertThat(Math.pow(10, tail.log10Chance(value)))
                    .isCloseTo(6 / 100.0 * exceeds, within(1e-9 + 1e-6 * exceeds));
        }
    }

    /** The density is the slope of the chance; of the widely spread kind half lies within the spread. */
    @Test
    void theRatioIsThatOfTwoDensities() {
        ExponentialTail tail = ExponentialTail.of(EXCESSES, 99, 0, 1, 3, 0.4);
        double spread = 10;
        // A Pareto variable of scale and shape 1 less its scale, times the spread.
        ParetoDistribution wide = new ParetoDistribution(1, 1);
        double step = 1e-5;
        for (double value : new double[] {0.5, 2, 6, 20}) {
            double slope = (Math.pow(10, tail.log10Chance(value - step)) - Math.pow(10, tail.log10Chance(value + step)))
                    / (2 * step);
            double kind = wide.density(1 + value / spread) / spread;
            assertThat(Math.pow(10, tail.log10Ratio(value, spread)))
                    .isCloseTo(kind / slope, within(1e-3 * kind / slope));
        }
        assertThat(wide.cumulativeProbability(2)).isEqualTo(0.5);
    }

    /** Of honest ratios one in ten exceeds each decade more (Markov's bound reached); the tail of a sample of them says the same. */
    @Test
    void aLargeSampleOfAKnownTailGivesItsChance() {
        ExponentialDistribution known = new ExponentialDistribution(0.8);
        double[] sample = IntStream.range(0, 20_000)
                .mapToDouble(i -> known.inverseCumulativeProbability((i + 0.5) / 20_000))
                .toArray();
        ExponentialTail tail = ExponentialTail.of(sample, sample.length, 0, 0.05, 10, 1 / Math.log(10));
        assertThat(tail.above()).isEqualTo(1000);
        for (double value : new double[] {3, 5, 8}) {
            double exact = Math.log10(1 - known.cumulativeProbability(value));
            assertThat(tail.log10Chance(value)).isCloseTo(exact, within(0.03 * Math.abs(exact)));
        }
    }

    /** The fewer values, the less a large one says. */
    @Test
    void aSmallSampleIsWorthLessThanALargeOneOfTheSameTail() {
        SplittableRandom random = new SplittableRandom(5);
        double[] large = IntStream.range(0, 4_000)
                .mapToDouble(i -> -0.5 * Math.log(random.nextDouble()))
                .toArray();
        double[] small = Arrays.copyOf(large, 40);
        double of = 6;
        double little = ExponentialTail.of(small, 40, 0, 0.05, 10, 0.43).log10Ratio(of, 10);
        double much = ExponentialTail.of(large, 4_000, 0, 0.05, 10, 0.43).log10Ratio(of, 10);
        assertThat(little).isLessThan(much);
        assertThat(ExponentialTail.of(new double[0], 0, 0, 0.05, 10, 0.43).log10Chance(of))
                .isGreaterThan(ExponentialTail.of(new double[0], 400, 0, 0.05, 10, 0.43)
                        .log10Chance(of));
    }
}
