package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import org.hipparchus.linear.RealMatrix;
import org.hipparchus.linear.RealVector;
import org.junit.jupiter.api.Test;

/** The kernel for small symmetric matrices against a matrix that can be done in the head and against Hipparchus. */
class TriangularTest {
    private static final double[][] FOUR = {{4, 2}, {2, 5}};

    @Test
    void invertsTheRootOfAMatrixOfTwo() {
        // The factor is (2 0; 1 2): its inverse (1/2 0; -1/4 1/2).
        double[][] root = Triangular.inverseRoot(FOUR);

        assertThat(root[0]).containsExactly(0.5, 0);
        assertThat(root[1]).containsExactly(-0.25, 0.5);
        // (5 x 4 - 2 x 2 x 6 + 4 x 9) / 16.
        assertThat(Triangular.squaredDistance(root, new double[] {2, 3})).isEqualTo(2);
    }

    @Test
    void measuresTheDistanceThatTheWholeInverseGives() {
        double[][] covariance = {{3, 1, 0.5, 0.2}, {1, 2, -0.4, 0.3}, {0.5, -0.4, 1.5, 0.6}, {0.2, 0.3, 0.6, 1}};
        double[] r = {0.7, -1.2, 2.1, 0.4};
        RealMatrix inverse = new LUDecomposition(new Array2DRowRealMatrix(covariance))
                .getSolver()
                .getInverse();
        RealVector vector = new ArrayRealVector(r);

        assertThat(Triangular.squaredDistance(Triangular.inverseRoot(covariance), r))
                .isCloseTo(inverse.operate(vector).dotProduct(vector), within(1e-12));
        assertThat(Triangular.times(covariance, r))
                .containsExactly(new Array2DRowRealMatrix(covariance).operate(r), within(1e-12));
    }

    @Test
    void goesOnWhereRoundingMakesAMatrixSingular() {
        double[][] root = Triangular.inverseRoot(new double[][] {{1, 1}, {1, 1}});

        assertThat(root[1][1]).isBetween(1e4, 2e5);
        assertThat(Triangular.squaredDistance(root, new double[] {2, 2})).isCloseTo(4, within(1e-6));
    }
}
