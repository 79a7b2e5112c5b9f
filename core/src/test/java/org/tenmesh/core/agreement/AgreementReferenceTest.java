package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;

/**
 * Filters against the algebra they save: with normal soils every forecast and every group's effect must be what the whole covariance
 * matrix gives by solving it (conditional normal distribution and generalised least squares, any textbook; Hipparchus solves).
 */
class AgreementReferenceTest {
    private final MadeSoils soils = new MadeSoils(20, new SplittableRandom(11));
    private final Agreement agreement = soils.learnt();
    private final int n = soils.table.soils();

    @Test
    void forecastsAreThoseOfTheWholeCovarianceMatrix() {
        Difference[] differences = Smoother.differences(agreement);
        assertThat(agreement.freedom()).as("normal soils have light tails").isGreaterThanOrEqualTo(15);
        for (int c = 0; c < 2; c++) {
            RealMatrix precision =
                    new LUDecomposition(covariance(c)).getSolver().getInverse();
            RealVector left = left(c);
            RealVector weighed = precision.operate(left);
            double worst = 0;
            for (int i = 0; i < n; i++) {
                // Leaving one out: its difference is the weighed residual over its own precision.
                double variance = 1 / precision.getEntry(i, i);
                double expected = weighed.getEntry(i) * variance;
                Difference found = differences[i];
                assertThat(found).isNotNull();
                worst = Math.max(worst, Math.abs(found.difference()[c] - expected) / Math.sqrt(variance));
                assertThat(found.variance()[c]).isCloseTo(variance, within(0.06 * variance));
            }
            // Trust in far-out soils is a little less than the normal model's own.
            assertThat(worst).isLessThan(0.25);
        }
    }

    @Test
    void effectsOfGroupsAreThoseOfGeneralisedLeastSquares() {
        int[] groupOf = IntStream.range(0, n).map(i -> i % 4).toArray();
        GroupEffects effects = GroupEffects.of(agreement, groupOf, 4);
        for (int c = 0; c < 2; c++) {
            RealMatrix precision =
                    new LUDecomposition(covariance(c)).getSolver().getInverse();
            RealMatrix design = new Array2DRowRealMatrix(n, 4);
            for (int i = 0; i < n; i++) {
                design.setEntry(i, groupOf[i], 1);
            }
            RealMatrix normal = design.transpose().multiply(precision).multiply(design);
            RealMatrix inverse = new LUDecomposition(normal).getSolver().getInverse();
            RealVector expected = inverse.operate(design.transpose().operate(precision.operate(left(c))));
            for (int g = 0; g < 3; g++) {
                double apart = effects.size()[c][g] - effects.size()[c][3];
                double variance = inverse.getEntry(g, g) + inverse.getEntry(3, 3) - 2 * inverse.getEntry(g, 3);
                double found = effects.covariance()[c][g][g]
                        + effects.covariance()[c][3][3]
                        - 2 * effects.covariance()[c][g][3];
                assertThat(apart)
                        .isCloseTo(expected.getEntry(g) - expected.getEntry(3), within(0.25 * Math.sqrt(variance)));
                assertThat(found).isCloseTo(variance, within(0.05 * variance));
            }
        }
    }

    @Test
    void aGroupReadTooHighIsFoundWithItsSize() {
        int covered = 0;
        int days = 60;
        for (int day = 0; day < days; day++) {
            MadeSoils made = new MadeSoils(20, new SplittableRandom(500 + day));
            int[] groupOf = IntStream.range(0, n).map(i -> i * 7 % 4).toArray();
            for (int i = 0; i < n; i++) {
                made.table.values()[i][0] += groupOf[i] == 2 ? 0.05 : 0;
            }
            GroupEffects.Contrast apart =
                    GroupEffects.of(made.learnt(), groupOf, 4).contrast(new double[] {-1.0 / 3, -1.0 / 3, 1, -1.0 / 3});
            assertThat(apart.size()[0]).isCloseTo(0.05, within(5 * apart.sd()[0]));
            covered += Math.abs(apart.size()[0] - 0.05) < 1.96 * apart.sd()[0] ? 1 : 0;
        }
        // 95 of 100 on the average; 60 draws give 51 or fewer with a chance of 0.6 % (binomial).
        assertThat(covered).isGreaterThanOrEqualTo(52);
    }

    @Test
    void readingsOfControlSoilsAndOfEmptyVesselsAreNoSoils() {
        double[][] mean = new double[n][];
        double[][] sd = new double[n][];
        mean[5] = new double[] {0, 0};
        sd[5] = new double[] {0.1, 0.1};
        boolean[] nothing = new boolean[n];
        nothing[7] = true;
        Difference[] differences = Smoother.differences(Agreement.learn(
                Assumptions.of(Policy.defaults()),
                soils.table,
                MadeSoils.OWN,
                MadeSoils.OTHERS,
                new KnownControls(mean, sd),
                new Vessel(new double[] {-9, -9}, new double[] {0.3, 0.3}, new double[] {0.05, 0.05}),
                nothing));
        assertThat(differences[5]).isNull();
        assertThat(differences[7]).isNull();
        assertThat(differences[6]).isNotNull();
    }

    @Test
    void relationsOnceLearntServeWhenAFewReadingsAreMoved() {
        MadeSoils made = new MadeSoils(20, new SplittableRandom(77));
        Agreement before = made.learnt();
        boolean[] nothing = new boolean[n];
        Agreement unmoved = before.refit(nothing);
        for (int row = 0; row < n; row++) {
            assertThat(unmoved.likelihood(row)).isEqualTo(before.likelihood(row));
        }
        int[] one = MadeSoils.rows(100, 6);
        int[] other = MadeSoils.rows(300, 6);
        int[] both = IntStream.concat(Arrays.stream(one), Arrays.stream(other)).toArray();
        int[] crossed =
                IntStream.concat(Arrays.stream(other), Arrays.stream(one)).toArray();
        made.record(both, crossed);
        Agreement moved = before.refit(nothing);
        Agreement anew = made.learnt();
        double learntOnce = Exchange.exchanged(moved, one, other);
        assertThat(learntOnce).isGreaterThan(10);
        assertThat(learntOnce).isCloseTo(Exchange.exchanged(anew, one, other), within(0.1 * learntOnce));
        made.record(both, crossed);
        Agreement back = moved.refit(nothing);
        for (int row = 0; row < n; row++) {
            assertThat(back.likelihood(row)).isEqualTo(before.likelihood(row));
        }
    }

    @Test
    void nothingIsLearntOfAColumnInWhichMostSoilsAgree() {
        MadeSoils made = new MadeSoils(20, new SplittableRandom(5));
        for (int i = 0; i < made.table.soils(); i++) {
            made.table.values()[i][0] = i % 5 == 0 ? 1 + 0.01 * i : 0;
        }
        Agreement agreement = made.learnt();

        assertThat(agreement.isFitted()).isFalse();
        assertThat(agreement.likelihood(3)).isZero();
        assertThat(Hypotheses.of(agreement).logRatio(MadeSoils.rows(0, 2), row -> 1 - row))
                .isZero();
    }

    @Test
    void nothingIsLearntOfAColumnThatIsTheSameForNeighboursAlone() {
        MadeSoils made = new MadeSoils(20, new SplittableRandom(6));
        for (int i = 0; i < made.table.soils(); i++) {
            made.table.values()[i][0] = made.table.client()[i];
        }

        assertThat(made.learnt().isFitted()).isFalse();
    }

    @Test
    void mostAreOneValueWhenMoreThanHalfAre() {
        assertThat(SoilTable.mostHoldOneValue(new double[] {1, 0, 0, 2, 0})).isTrue();
        assertThat(SoilTable.mostHoldOneValue(new double[] {1, 0, 0, 2})).isFalse();
        assertThat(SoilTable.mostHoldOneValue(new double[] {})).isFalse();
    }

    // 100 soils are enough for the scatter of one column alone, too few for its relations to forty others.
    @Test
    void saysNothingWhereOnlyTheModelWithoutRelationsWasLearnt() {
        int others = 40;
        SplittableRandom random = new SplittableRandom(9);
        double[][] values = new double[100][1 + others];
        for (double[] row : values) {
            Arrays.setAll(row, j -> random.nextGaussian());
        }
        SoilTable table = new SoilTable(values, new int[100], new int[100]);
        Agreement agreement = Agreement.learn(
                Assumptions.of(Policy.defaults()),
                table,
                new int[] {0},
                IntStream.rangeClosed(1, others).toArray());

        assertThat(agreement.isFitted()).isFalse();
        assertThat(agreement.likelihood(49)).isZero();
    }

    @Test
    void saysNothingFromFewSoils() {
        Agreement few = new MadeSoils(1, new SplittableRandom(1)).learnt();
        assertThat(few.isFitted()).isFalse();
        assertThat(Exchange.log10Odds(few, new int[] {0, 1}, new int[] {1, 0})).isZero();
    }

    private RealMatrix covariance(int coordinate) {
        RealMatrix matrix = new Array2DRowRealMatrix(n, n);
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++) {
                matrix.setEntry(i, j, agreement.covariance(coordinate, i, j));
            }
        }
        return matrix;
    }

    private RealVector left(int coordinate) {
        double[] left = new double[n];
        Arrays.setAll(left, i -> agreement.left(i)[coordinate]);
        return new ArrayRealVector(left, false);
    }
}
