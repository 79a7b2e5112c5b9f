package org.tenmesh.proof.power;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.junit.jupiter.api.Test;

class MatricesTest {
    /** Wilson's matrix: its inverse is whole numbers and its determinant 1 (Westlake 1968, appendix C, from memory). */
    private static final double[][] WILSON = {{10, 7, 8, 7}, {7, 5, 6, 5}, {8, 6, 10, 9}, {7, 5, 9, 10}};

    private static final double[][] ITS_INVERSE = {
        {25, -41, 10, -6}, {-41, 68, -17, 10}, {10, -17, 5, -3}, {-6, 10, -3, 2}
    };

    @Test
    void invertsByItsRoot() {
        double[][] lower = Matrices.inverseOfLower(Matrices.root(WILSON));
        assertClose(Matrices.times(Matrices.turned(lower), lower), ITS_INVERSE, 1e-9);
    }

    @Test
    void eigenvaluesRebuildTheMatrix() {
        Matrices.Eigen eigen = Matrices.eigen(WILSON);
        double[][] scaled = new double[4][4];
        for (int i = 0; i < 4; i++) {
            for (int k = 0; k < 4; k++) {
                scaled[i][k] = eigen.vectors()[i][k] * eigen.values()[k];
            }
        }
        assertClose(Matrices.times(scaled, Matrices.turned(eigen.vectors())), WILSON, 1e-9);
        assertThat(Arrays.stream(eigen.values()).sum()).isCloseTo(35, within(1e-9));
        assertThat(Arrays.stream(eigen.values()).reduce(1, (a, b) -> a * b)).isCloseTo(1, within(1e-9));
    }

    @Test
    void refusesWhatIsIndefinite() {
        assertThatThrownBy(() -> Matrices.root(new double[][] {{1, 2}, {2, 1}})).hasMessageContaining("indefinite");
    }

    private static void assertClose(double[][] found, double[][] expected, double tolerance) {
        for (int i = 0; i < expected.length; i++) {
            assertThat(found[i]).containsExactly(expected[i], within(tolerance));
        }
    }
}
