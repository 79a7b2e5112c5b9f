package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.hipparchus.distribution.continuous.TDistribution;
import org.junit.jupiter.api.Test;

/** Student's t densities against Hipparchus, its closed form in two dimensions, and observations drawn from one. */
class TDensityReferenceTest {
    private static final int DRAWS = 4000;

    @Test
    void theDensityOfOneDimensionIsStudents() {
        for (double freedom : new double[] {1, 3, 4.5, 9, 30, 100}) {
            assertThat(TDensity.logConstant(freedom, 1))
                    .isCloseTo(new TDistribution(freedom).logDensity(0), within(1e-12));
        }
    }

    /** In two dimensions the gamma functions cancel: 1 / (2 pi) for any degrees of freedom. */
    @Test
    void theConstantOfTwoDimensionsIsThatOfTheNormal() {
        for (double freedom : new double[] {3, 9, 100}) {
            assertThat(TDensity.logConstant(freedom, 2)).isCloseTo(-Math.log(2 * Math.PI), within(1e-12));
        }
    }

    @Test
    void anObservationCountsLessTheFurtherOutItLies() {
        assertThat(TDensity.weight(4, 0, 2)).isEqualTo(1.5);
        assertThat(TDensity.weight(4, 2, 2)).isEqualTo(1);
        assertThat(TDensity.weight(4, 20, 2)).isEqualTo(0.25);
    }

    @Test
    void aControlSoilsReadingHasStudentsDensityAboutItsStatedContent() {
        double[] row = {9, 3.1, 9, 0.2};

        assertThat(KnownControls.logDensity(row, new int[] {1}, new double[] {3}, new double[] {0.08}, 4))
                .isCloseTo(new TDistribution(4).logDensity(0.1 / 0.08) - Math.log(0.08), within(1e-12));
        // Two columns, 1.25 and 2 standard deviations off: 1 / (2 pi s s') (1 + 5.5625 / 4)^-3.
        assertThat(KnownControls.logDensity(row, new int[] {1, 3}, new double[] {3, 0}, new double[] {0.08, 0.1}, 4))
                .isCloseTo(-Math.log(2 * Math.PI * 0.08 * 0.1) - 3 * Math.log1p(5.5625 / 4), within(1e-12));
        assertThat(KnownControls.tOfKnown(2, 4) - KnownControls.tOfKnown(0, 4))
                .isCloseTo(new TDistribution(4).logDensity(2) - new TDistribution(4).logDensity(0), within(1e-12));
    }

    @Test
    void aControlSoilOfUnknownContentSaysNothing() {
        assertThat(KnownControls.logDensity(
                        new double[] {3.1, 2}, new int[] {0, 1}, new double[] {3, Double.NaN}, new double[] {1, 1}, 4))
                .isZero();
    }

    @Test
    void findsTheWidthAndTheTailsThatObservationsWereDrawnWith() {
        assertThat(TDensity.likeliest(drawn(3, 2, 7.5), 2).orElseThrow()).satisfies(width -> {
            assertThat(width.freedom()).isEqualTo(3);
            assertThat(width.scale()).isCloseTo(7.5, within(0.4));
        });
        assertThat(TDensity.likeliest(drawn(9, 1, 0.2), 1).orElseThrow()).satisfies(width -> {
            assertThat(width.freedom()).isBetween(6.0, 15.0);
            assertThat(width.scale()).isCloseTo(0.2, within(0.012));
        });
        assertThat(TDensity.likeliest(drawn(1e9, 3, 1), 3).orElseThrow()).satisfies(width -> {
            assertThat(width.freedom()).isEqualTo(100);
            assertThat(width.scale()).isCloseTo(1, within(0.04));
        });
        assertThat(TDensity.likeliest(new double[] {Double.NaN}, 1)).isEmpty();
    }

    /** Squared lengths of vectors of a t density: normal ones over the root of a chi square over its degrees of freedom. */
    private static double[] drawn(double freedom, int p, double scale) {
        SplittableRandom random = new SplittableRandom(31);
        double[] squared = new double[DRAWS];
        for (int i = 0; i < DRAWS; i++) {
            double length = squares(random, p);
            double wide = freedom > 100 ? 1 : squares(random, (int) freedom) / freedom;
            squared[i] = scale * length / wide;
        }
        return squared;
    }

    private static double squares(SplittableRandom random, int count) {
        double sum = 0;
        for (int k = 0; k < count; k++) {
            double one = random.nextGaussian();
            sum += one * one;
        }
        return sum;
    }
}
