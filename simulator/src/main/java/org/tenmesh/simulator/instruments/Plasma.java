package org.tenmesh.simulator.instruments;

import java.util.Arrays;
import org.tenmesh.simulator.bench.Vessel;

/** State of the plasma along the run; faults change it. */
final class Plasma {
    final double[][] gain;
    final double[] internal;
    /** Share of what was read before that shows in a reading. */
    final double[] carried = new double[PlasmaSheet.N];
    /** By line, then by element: mg/L that 1 mg/L of the element adds to the line. */
    final double[][] interfering = new double[PlasmaSheet.N][PlasmaSheet.N];

    Plasma(int size) {
        gain = new double[size + 1][PlasmaSheet.N];
        internal = new double[size + 1];
        Arrays.fill(internal, 1);
        for (double[] row : gain) {
            Arrays.fill(row, 1);
        }
    }

    /** What all other elements of a tube add to a line, mg/L. */
    double interference(PlasmaSheet sheet, Vessel vessel, int line) {
        double sum = 0;
        for (int e = 0; e < PlasmaSheet.N; e++) {
            double share = interfering[line][e];
            sum += share == 0 ? 0 : share * sheet.inTube(vessel, e);
        }
        return sum;
    }
}
