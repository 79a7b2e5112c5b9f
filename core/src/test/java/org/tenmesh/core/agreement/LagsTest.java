package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/** How alike soils are so many places apart, from products that follow a curve exactly. */
class LagsTest {
    /** Products of soils of variance {@code whole}: a share for good, the rest fading. */
    private static Lags following(double share, double decay, double whole, int pairs) {
        Lags lags = new Lags();
        for (int lag = 1; lag < Lags.MOST; lag++) {
            for (int k = 0; k < pairs; k++) {
                double product = whole * (share + (1 - share) * Math.pow(decay, lag));
                lags.add(lag, new double[] {product, 2}, new double[] {1, 0});
            }
        }
        return lags;
    }

    @Test
    void findsTheFadingThatTheProductsFollow() {
        for (double decay : new double[] {0, 0.3, 0.62, 0.95}) {
            assertThat(following(0.25, decay, 3, 4).decay(0.25, 3)).isCloseTo(decay, within(0.005));
        }
    }

    @Test
    void findsTheShareThatNeverFades() {
        assertThat(following(0.4, 0.2, 3, 4).share(Lags.NEAR, 3)).isCloseTo(0.4, within(1e-6));
    }

    @Test
    void keepsTheShareWithinReasonAndGuessesItFromFewPairs() {
        assertThat(following(0, 0.1, 3, 4).share(Lags.NEAR, 3)).isEqualTo(0.02);
        assertThat(following(1, 0.1, 3, 4).share(Lags.NEAR, 3)).isEqualTo(0.95);
        assertThat(following(0.4, 0.2, 3, 1).share(Lags.NEAR, 3)).isEqualTo(0.3);
    }

    @Test
    void sumsAreTakenTogether() {
        Lags both = following(0.2, 0.5, 1, 2);
        both.take(following(0.6, 0.5, 1, 2));

        assertThat(both.share(Lags.NEAR, 1)).isCloseTo(0.4, within(1e-3));
        assertThat(both.decay(0.4, 1)).isCloseTo(0.5, within(0.005));
        assertThat(both.counts[Lags.MOST - 1]).isEqualTo(4);
    }
}
