package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.quantity.Unit;

/** What an instrument's raw values are worth as signals, before any calibration. */
abstract sealed class Signals {
    final Grid grid;

    private Signals(Grid grid) {
        this.grid = grid;
    }

    static Signals ofCounts(EmissionMethod method, Readings readings, Grid grid) {
        return new InternalStandard(method, readings, grid);
    }

    static Signals ofPeaks(Readings readings, Grid grid) {
        return new Baseline(grid, readings.quantities().size());
    }

    /** The corrected signal of what was read, NaN where nothing usable was read. */
    abstract double at(int row, int column, double raw);

    /** Whether a signal is there but may not be trusted. */
    abstract boolean lost(int row);

    /** Why there is no signal although the line was read; null when there is none. */
    abstract @Nullable String lack(int row);

    abstract Unit unit();

    abstract void explain(Trail trail, int row, int column, String quantity);

    /** Baselines read: positions of washes, in order, for one column. */
    List<Reduced.Wash> washes(int column, String analyte) {
        return List.of();
    }

    /** Counts times the internal standard's mean over the calibration, divided by its signal at the position. */
    private static final class InternalStandard extends Signals {
        private final EmissionMethod method;
        private final double[] factor;

        InternalStandard(EmissionMethod method, Readings readings, Grid grid) {
            super(grid);
            this.method = method;
            factor = new double[grid.rows];
            Arrays.fill(factor, 1);
            int column = method.internalStandard().map(readings::quantityCode).orElse(-1);
            if (column < 0) {
                return;
            }
            double sum = 0;
            int n = 0;
            for (int row = 0; row < grid.rows; row++) {
                double signal = grid.value(row, column);
                if (grid.role[row] == Role.STANDARD && signal > 0) {
                    sum += signal;
                    n++;
                }
            }
            if (n == 0) {
                return;
            }
            double mean = sum / n;
            for (int row = 0; row < grid.rows; row++) {
                double signal = grid.value(row, column);
                factor[row] = signal > 0 ? mean / signal : Double.NaN;
            }
        }

        @Override
        double at(int row, int column, double raw) {
            return raw * factor[row];
        }

        @Override
        boolean lost(int row) {
            double pct = 100 / factor[row];
            return Double.isNaN(factor[row])
                    || pct < method.internalStandardMinPct()
                    || pct > method.internalStandardMaxPct();
        }

        @Override
        @Nullable
        String lack(int row) {
            return Double.isNaN(factor[row]) ? "no reading of the internal standard" : null;
        }

        @Override
        Unit unit() {
            return Unit.PER_SECOND;
        }

        @Override
        void explain(Trail trail, int row, int column, String quantity) {
            double counts = grid.value(row, column);
            trail.step("Read, line " + quantity + ", position " + grid.position[row], "", counts, Unit.PER_SECOND);
            if (method.internalStandard().isPresent()) {
                trail.step(
                        "Internal standard " + method.internalStandard().get() + " at " + text(100 / factor[row], 4)
                                + " % of its mean over the calibration",
                        text(counts, 8) + " × " + text(factor[row], 7),
                        counts * factor[row],
                        Unit.PER_SECOND);
            }
        }
    }

    /** Peak less the baseline, which runs straight between two washes and level outside them. */
    private static final class Baseline extends Signals {
        private final double[][] baseline;
        private final boolean[] washed;

        Baseline(Grid grid, int columns) {
            super(grid);
            baseline = new double[columns][grid.rows];
            washed = new boolean[columns];
            for (int column = 0; column < columns; column++) {
                List<Integer> washes = washRows(column);
                washed[column] = !washes.isEmpty();
                int next = 0;
                for (int row = 0; row < grid.rows && washed[column]; row++) {
                    while (next < washes.size() - 1 && washes.get(next) < row) {
                        next++;
                    }
                    int after = washes.get(next);
                    int before = after > row && next > 0 ? washes.get(next - 1) : after;
                    double low = grid.value(before, column);
                    double high = grid.value(after, column);
                    double share = after == before
                            ? 0
                            : (double) (grid.position[row] - grid.position[before])
                                    / (grid.position[after] - grid.position[before]);
                    baseline[column][row] = low + share * (high - low);
                }
            }
        }

        private List<Integer> washRows(int column) {
            List<Integer> washes = new ArrayList<>();
            for (int row = 0; row < grid.rows; row++) {
                if (grid.role[row] == Role.WASH && !Double.isNaN(grid.value(row, column))) {
                    washes.add(row);
                }
            }
            return washes;
        }

        @Override
        double at(int row, int column, double raw) {
            return raw - baseline[column][row];
        }

        @Override
        boolean lost(int row) {
            return false;
        }

        @Override
        @Nullable
        String lack(int row) {
            return null;
        }

        @Override
        Unit unit() {
            return Unit.ABSORBANCE;
        }

        @Override
        void explain(Trail trail, int row, int column, String quantity) {
            double peak = grid.value(row, column);
            trail.step("Read, " + quantity + ", position " + grid.position[row], "", peak, Unit.ABSORBANCE);
            if (washed[column]) {
                trail.step(
                        "Less the baseline of the carrier there",
                        text(peak, 7) + " − " + text(baseline[column][row], 5),
                        at(row, column, peak),
                        Unit.ABSORBANCE);
            }
        }

        @Override
        List<Reduced.Wash> washes(int column, String analyte) {
            return washRows(column).stream()
                    .map(row -> new Reduced.Wash(grid.position[row], analyte, grid.value(row, column)))
                    .toList();
        }
    }
}
