package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/** Generalised least squares of one unknown, with numbers that can be done in the head. */
class DifferenceTest {
    private static final Difference DIFFERENCE = new Difference(new double[] {3, 2}, new double[] {1, 4}, 4);

    @Test
    void measuresEachCoordinateByItsOwnVariance() {
        // 9 / 1 + 4 / 4.
        assertThat(DIFFERENCE.squaredDistance()).isEqualTo(10);
    }

    @Test
    void findsHowFarADifferenceGoesAlongADirection() {
        // Cross product 1 x 3 / 1 + 2 x 2 / 4 = 4, square 1 + 4 / 4 = 2: twice the direction, which explains 8 of 10.
        Difference.Along along = DIFFERENCE.along(new double[] {1, 2});

        assertThat(along.multiple()).isEqualTo(2);
        assertThat(along.sd()).isCloseTo(Math.sqrt(0.5), within(1e-12));
        assertThat(along.rest()).isCloseTo(2, within(1e-12));
        // (1 + 10 / 4) over (1 + 2 / 4), to the power (4 + 2) / 2.
        assertThat(along.logRatio()).isCloseTo(3 * Math.log(3.5 / 1.5), within(1e-12));
    }
}
