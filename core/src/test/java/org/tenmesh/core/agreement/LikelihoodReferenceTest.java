package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.BitSet;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;

/** What an agreement says of soils that follow it, follow it loosely or not at all, on drawn soils of which the truth is known. */
class LikelihoodReferenceTest {
    private static final int PER_CLIENT = 24;
    private static final Assumed ASSUMED = Assumptions.of(Policy.defaults());

    private final MadeSoils soils = new MadeSoils(20, new SplittableRandom(21));

    /** The joint normal density of all readings of a client (any textbook; Hipparchus decomposes): the filter gives it soil by soil. */
    @Test
    void aClientsLikelihoodIsThatOfTheWholeCovarianceMatrix() {
        Agreement agreement = soils.learnt();
        double[][] to = {agreement.inCoordinates(new double[] {1, 0}), agreement.inCoordinates(new double[] {0, 1})};
        double logVolume = Math.log(Math.abs(to[0][0] * to[1][1] - to[0][1] * to[1][0]));
        double[] apart = new double[20];
        for (int client = 0; client < 20; client++) {
            int from = client * PER_CLIENT;
            double expected = PER_CLIENT * logVolume;
            for (int c = 0; c < 2; c++) {
                int coordinate = c;
                double[][] covariance = new double[PER_CLIENT][PER_CLIENT];
                for (int i = 0; i < PER_CLIENT; i++) {
                    for (int j = 0; j < PER_CLIENT; j++) {
                        covariance[i][j] = agreement.covariance(c, from + i, from + j);
                    }
                }
                CholeskyDecomposition whole = new CholeskyDecomposition(new Array2DRowRealMatrix(covariance));
                RealVector left = new ArrayRealVector(IntStream.range(from, from + PER_CLIENT)
                        .mapToDouble(row -> agreement.left(row)[coordinate])
                        .toArray());
                expected -= 0.5
                        * (PER_CLIENT * Math.log(2 * Math.PI)
                                + Math.log(whole.getDeterminant())
                                + whole.getSolver().solve(left).dotProduct(left));
            }
            double found = IntStream.range(from, from + PER_CLIENT)
                    .mapToDouble(agreement::likelihood)
                    .sum();
            apart[client] = found - expected;
        }
        Arrays.sort(apart);
        // Soils far out count less in the filter, so that a client with one may lie apart.
        assertThat((apart[9] + apart[10]) / 2).isCloseTo(0, within(0.5));
        assertThat(apart[15] - apart[4]).isLessThan(1.5);
    }

    @Test
    void theOrdinaryLikelihoodIsTheMiddleOne() {
        Agreement agreement = soils.learnt();
        double[] all = IntStream.range(0, soils.table.soils())
                .mapToDouble(agreement::likelihood)
                .sorted()
                .toArray();

        assertThat(agreement.ordinaryLikelihood()).isEqualTo(all[all.length / 2]);
        assertThat(new MadeSoils(1, new SplittableRandom(1)).learnt().ordinaryLikelihood())
                .isZero();
    }

    /** Of one client what the method reads scatters three times as widely about the same relations. */
    @Test
    void aClientWhoseSoilsScatterWidelyIsAllowedTo() {
        SplittableRandom random = new SplittableRandom(8);
        for (int row = 5 * PER_CLIENT; row < 6 * PER_CLIENT; row++) {
            for (int c : MadeSoils.OWN) {
                soils.table.values()[row][c] += 0.45 * random.nextGaussian();
            }
        }
        Agreement agreement = soils.learnt();
        double usual = agreement.covariance(0, 3 * PER_CLIENT, 3 * PER_CLIENT);
        double wide = agreement.covariance(0, 5 * PER_CLIENT, 5 * PER_CLIENT);

        // Ten times the variance, held back by the soils that every client is given before its own are looked at.
        assertThat(wide / usual).isBetween(3.0, 12.0);
        // Without a few of its soils it is about as wide; without more than half of them they are all asked.
        int[] few = MadeSoils.rows(5 * PER_CLIENT, 4);
        int[] most = MadeSoils.rows(5 * PER_CLIENT, 20);
        double own = agreement.widening[5 * PER_CLIENT];
        assertThat(agreement.widenedWithout(few, 0, few.length)).isBetween(0.7 * own, 1.4 * own);
        assertThat(agreement.widenedWithout(most, 0, most.length)).isEqualTo(own);
        assertThat(agreement.widenedWithout(MadeSoils.rows(3 * PER_CLIENT, 4), 0, 4))
                .isBetween(1.0, 1.3);
    }

    @Test
    void aClientOfWhichNoRelationHoldsIsJudgedByTheMethodAlone() {
        SplittableRandom random = new SplittableRandom(12);
        for (int row = 7 * PER_CLIENT; row < 8 * PER_CLIENT; row++) {
            for (int j : MadeSoils.OTHERS) {
                soils.table.values()[row][j] = 2.5 * random.nextGaussian();
            }
        }
        Agreement agreement = soils.learnt();

        for (int client = 0; client < 20; client++) {
            assertThat(agreement.followsNone(client * PER_CLIENT))
                    .as("client %d", client)
                    .isEqualTo(client == 7);
        }
        // Its readings in their places are as likely as those of any client under the method alone.
        double its = IntStream.range(7 * PER_CLIENT, 8 * PER_CLIENT)
                .mapToDouble(agreement::likelihood)
                .sum();
        double alone = IntStream.range(7 * PER_CLIENT, 8 * PER_CLIENT)
                .mapToDouble(Agreement.learn(ASSUMED, soils.table, MadeSoils.OWN, new int[0])::likelihood)
                .sum();
        assertThat(its).isCloseTo(alone, within(1e-9));
    }

    @Test
    void relationsOfOneDaySpeakOfTheSoilsOfAnother() {
        MadeSoils other = new MadeSoils(20, new SplittableRandom(22));
        int n = other.table.soils();
        BitSet half = new BitSet(n);
        half.set(0, n / 2);
        Agreement applied = soils.learnt()
                .appliedTo(
                        other.table,
                        half,
                        new KnownControls(new double[n][], new double[n][]),
                        new Vessel(new double[0], new double[0], new double[0]),
                        new boolean[n]);
        Agreement own = other.learnt();

        assertThat(applied.others()).containsExactly(MadeSoils.OTHERS);
        assertThat(applied.predicts(3)).isTrue();
        assertThat(applied.predicts(n - 1)).isFalse();
        double differ = 0;
        for (int row = 0; row < n / 2; row++) {
            differ += (own.likelihood(row) - applied.likelihood(row)) / (n / 2.0);
        }
        // Relations of other soils fit a little worse than their own, by less than a tenth of a soil's own scatter.
        assertThat(differ).isBetween(-0.1, 0.2);
        assertThat(own.predicts(3)).isTrue();
        assertThat(new MadeSoils(1, new SplittableRandom(1)).learnt().predicts(3))
                .isFalse();
    }

    @Test
    void otherResultsOfASoilMoveItsDifferenceByWhatIsPredictedFromThem() {
        Agreement agreement = soils.learnt();
        int row = 100;
        Difference difference = Smoother.differences(agreement)[row];
        assertThat(difference).isNotNull();
        double[] changed = soils.table.values()[row].clone();
        assertThat(agreement.withOthers(row, difference, changed).difference())
                .containsExactly(difference.difference(), within(1e-12));

        changed[2] += 0.5;
        Difference moved = agreement.withOthers(row, difference, changed);

        double[] read = agreement.inColumns(new double[] {
            moved.difference()[0] - difference.difference()[0],
            moved.difference()[1] - difference.difference()[1]
        });
        // The drawn soils follow the first of the other columns by 0.8 and 0.1, see MadeSoils.
        assertThat(read[0]).isCloseTo(-0.4, within(0.08));
        assertThat(read[1]).isCloseTo(-0.05, within(0.08));
        assertThat(moved.variance()).isEqualTo(difference.variance());
    }

    @Test
    void variancesInColumnsAreThoseOfTheCoordinates() {
        Agreement agreement = soils.learnt();
        double[] ofFirst = agreement.inColumns(new double[] {2, 0});
        double[] ofSecond = agreement.inColumns(new double[] {0, 3});

        assertThat(agreement.sdInColumns(new double[] {4, 9}))
                .containsExactly(
                        new double[] {Math.hypot(ofFirst[0], ofSecond[0]), Math.hypot(ofFirst[1], ofSecond[1])},
                        within(1e-12));
        assertThat(agreement.inCoordinates(ofFirst)).containsExactly(new double[] {2, 0}, within(1e-9));
    }

    @Test
    void theSameTableUnderAnotherNameChangesNothing() {
        Agreement agreement = soils.learnt();
        double[][] copied =
                Arrays.stream(soils.table.values()).map(double[]::clone).toArray(double[][]::new);
        Agreement on = agreement.on(new SoilTable(copied, soils.table.client(), soils.table.field()));

        assertThat(agreement.on(soils.table)).isSameAs(agreement);
        for (int row = 0; row < soils.table.soils(); row++) {
            assertThat(on.likelihood(row)).isEqualTo(agreement.likelihood(row));
        }
    }
}
