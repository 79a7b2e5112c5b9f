package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.BitSet;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;

/** Relations of some soils of a day weigh these soils alone, whatever lies between them. */
class SoilsSpokenOfTest {
    private static final int CONTROL = 30;
    private static final int FIRST = 24;
    private static final int CLIENT = 24;
    private static final Vessel VESSEL =
            new Vessel(new double[] {-9, -9}, new double[] {1, 1}, new double[] {0.05, 0.05});

    private final MadeSoils made = new MadeSoils(20, new SplittableRandom(8));

    // The second client's soils with relations of their own, and a control soil among them.
    private Agreement ofTheSecondClient(boolean controlKnown) {
        int n = made.table.soils();
        int[] client = made.table.client().clone();
        client[CONTROL] = -1;
        SoilTable day = new SoilTable(made.table.values(), client, made.table.field());
        @Nullable double[][] mean = new double[n][];
        @Nullable double[][] sd = new double[n][];
        if (controlKnown) {
            mean[CONTROL] = new double[] {day.values()[CONTROL][0], day.values()[CONTROL][1]};
            sd[CONTROL] = new double[] {0.001, 0.001};
        }
        BitSet of = new BitSet();
        of.set(FIRST, FIRST + CLIENT);
        of.clear(CONTROL);
        return Agreement.learn(Assumptions.of(Policy.defaults()), made.table, MadeSoils.OWN, MadeSoils.OTHERS)
                .appliedTo(day, of, new KnownControls(mean, sd), VESSEL, new boolean[n]);
    }

    @Test
    void readingsInTheirPlacesAreAsLikelyAsThemselves() {
        Agreement agreement = ofTheSecondClient(true);
        for (int row = FIRST; row < FIRST + CLIENT; row++) {
            if (row != CONTROL) {
                assertThat(Hypotheses.of(agreement).logRatio(new int[] {row}, soil -> soil))
                        .as("row %d", row)
                        .isCloseTo(0, within(1e-9));
            }
        }
    }

    @Test
    void aControlSoilBesideASoilIsNoEvidenceOfIt() {
        Agreement known = ofTheSecondClient(true);
        Agreement unknown = ofTheSecondClient(false);
        for (int row = CONTROL - 4; row < CONTROL; row++) {
            int its = row;
            double beside = Hypotheses.of(known).logRatio(new int[] {row}, soil -> soil == its ? -1 : soil);
            double without = Hypotheses.of(unknown).logRatio(new int[] {row}, soil -> soil == its ? -1 : soil);
            assertThat(beside).as("row %d", row).isEqualTo(without).isNegative();
        }
    }
}
