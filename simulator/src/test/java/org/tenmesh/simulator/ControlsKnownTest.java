package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalInt;
import org.hipparchus.distribution.continuous.ChiSquaredDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.quantity.Unit;

/** What laboratories know of a control soil against the sampling distributions of mean and variance (chi-square by Hipparchus). */
class ControlsKnownTest {
    private static final Material TRUTH =
            new Material("CS", "method", "P", 50, 2, Unit.MILLIGRAM_PER_KILOGRAM, OptionalInt.empty());

    @ParameterizedTest
    @ValueSource(ints = {4, 10, 20, 60})
    void missesTheTruthAsMuchAsSoManyRunsDo(int runs) {
        int laboratories = 500;
        double ofMeans = 0;
        double ofVariances = 0;
        for (long laboratory = 0; laboratory < laboratories; laboratory++) {
            Material known =
                    new ControlsKnown(runs, laboratory).of(List.of(TRUTH)).get(0);
            assertThat(known.n()).hasValue(runs);
            double z = (known.mean() - TRUTH.mean()) / (TRUTH.sd() / Math.sqrt(runs));
            ofMeans += z * z;
            ofVariances += (runs - 1) * Math.pow(known.sd() / TRUTH.sd(), 2);
        }
        // Each sum is chi-square; the limits hold all but one in 10,000 choices of the laboratories.
        ChiSquaredDistribution means = new ChiSquaredDistribution(laboratories);
        assertThat(ofMeans)
                .isBetween(means.inverseCumulativeProbability(5e-5), means.inverseCumulativeProbability(1 - 5e-5));
        ChiSquaredDistribution variances = new ChiSquaredDistribution((double) laboratories * (runs - 1));
        assertThat(ofVariances)
                .isBetween(
                        variances.inverseCumulativeProbability(5e-5), variances.inverseCumulativeProbability(1 - 5e-5));
    }

    @Test
    void aLaboratoryKnowsTheSameEachDay() {
        assertThat(new ControlsKnown(20, 3).of(List.of(TRUTH))).isEqualTo(new ControlsKnown(20, 3).of(List.of(TRUTH)));
        assertThat(new ControlsKnown(1000, 3).of(List.of(TRUTH)).get(0).mean()).isCloseTo(50, within(0.3));
    }

    @Test
    void threeRunsAreTooFew() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new ControlsKnown(3, 1))
                .withMessage("control soils are known from 4 to 1000 earlier runs, found 3");
    }
}
