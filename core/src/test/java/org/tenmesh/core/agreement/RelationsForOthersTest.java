package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;

class RelationsForOthersTest {
    private static Relations of(double groups, double... signal) {
        int p = signal.length;
        double[][] one = new double[p][p];
        int[] own = MadeSoils.rows(0, p);
        for (int c = 0; c < p; c++) {
            one[c][c] = 1;
        }
        return new Relations(
                own,
                new int[0],
                200,
                new double[0],
                new double[0],
                new double[0][],
                5,
                new double[p][1],
                one,
                one,
                signal,
                groups,
                0,
                0.5,
                0.5,
                0.5,
                false,
                StrayDensity.NONE);
    }

    @Test
    void whatFewClientsShareIsDrawnTowardsTheMiddle() {
        // By hand: k = 2 + 2 = 4, the middle of 8 and 2 is 5; (4 x 5 + 12 x 8) / 16 and (4 x 5 + 12 x 2) / 16.
        Relations drawn = of(12, 8, 2).forOthers();
        assertThat(drawn.signal()[0]).isCloseTo(7.25, within(1e-12));
        assertThat(drawn.signal()[1]).isCloseTo(2.75, within(1e-12));
        // 12 groups and 4 beforehand, less 2 columns, and one.
        assertThat(of(12, 8, 2).freedomForOthers()).isEqualTo(15);
    }

    @Test
    void manyClientsSayItThemselvesAndOneColumnHasNoDirections() {
        assertThat(of(1e9, 8, 2).forOthers().signal()[1]).isCloseTo(2, within(1e-6));
        assertThat(of(5, 8).forOthers().signal()[0]).isCloseTo(8, within(1e-12));
    }

    @Test
    void groupsAreClientsAndFieldsByTheirSharesOfTheVariance() {
        Relations learnt = RelationsFit.of(
                Assumptions.of(Policy.defaults()),
                new MadeSoils(20, new SplittableRandom(2)).table,
                MadeSoils.OWN,
                MadeSoils.OTHERS);
        double client = learnt.clientShare();
        double field = 1 - client;
        // 20 clients of 4 fields each; Satterthwaite's formula for a sum of two variances.
        assertThat(learnt.groups()).isCloseTo(1 / (client * client / 20 + field * field / 80), within(1e-9));
        assertThat(learnt.groups()).isBetween(20.0, 100.0);
    }
}
