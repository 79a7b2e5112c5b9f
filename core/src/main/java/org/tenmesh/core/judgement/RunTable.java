package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** A reduced run as a table: one row a position, one column an analyte that was read. Soils begin at a row and end at one. */
final class RunTable {
    private final Reduced reduced;
    private final Policy policy;
    private final List<Determination> all;
    private final List<Analyte> analytes;
    private final int columns;
    private final int rows;
    private final int firstSoil;
    private final int lastSoil;
    private final int[] stands;

    RunTable(Reduced reduced, Policy policy) {
        this.reduced = reduced;
        this.policy = policy;
        all = reduced.determinations();
        analytes = analytesRead();
        columns = Math.max(1, analytes.size());
        rows = all.size() / columns;
        int first = rows;
        int last = -1;
        for (int row = 0; row < rows; row++) {
            if (role(row) == Role.SAMPLE || role(row) == Role.DUPLICATE) {
                first = Math.min(first, row);
                last = row;
            }
        }
        firstSoil = first;
        lastSoil = last;
        stands = standing();
    }

    private List<Analyte> analytesRead() {
        List<Analyte> found = new ArrayList<>();
        for (int i = 0; i < all.size() && all.get(i).position() == all.get(0).position(); i++) {
            found.add(method().analyte(all.get(i).analyte()).orElseThrow());
        }
        return found;
    }

    /** The limits and rules by which the run is judged. */
    Policy policy() {
        return policy;
    }

    Method method() {
        return reduced.method();
    }

    Reduced reduced() {
        return reduced;
    }

    Run run() {
        return reduced.run();
    }

    int rows() {
        return rows;
    }

    int columns() {
        return columns;
    }

    int cells() {
        return all.size();
    }

    int cell(int row, int column) {
        return row * columns + column;
    }

    Determination cell(int cell) {
        return all.get(cell);
    }

    Determination at(int row, int column) {
        return all.get(row * columns + column);
    }

    Role role(int row) {
        return at(row, 0).role();
    }

    int position(int row) {
        return at(row, 0).position();
    }

    /** The first row at or after a position; {@code rows()} when there is none. */
    int row(int position) {
        int low = 0;
        int high = rows;
        while (low < high) {
            int middle = (low + high) / 2;
            if (position(middle) < position) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        return low;
    }

    Analyte analyte(int column) {
        return analytes.get(column);
    }

    OptionalInt column(String symbol) {
        for (int column = 0; column < analytes.size(); column++) {
            if (analytes.get(column).symbol().equals(symbol)) {
                return OptionalInt.of(column);
            }
        }
        return OptionalInt.empty();
    }

    /** Row of the first soil or duplicate; {@code rows()} when there is none. */
    int firstSoil() {
        return firstSoil;
    }

    /** Row of the last soil or duplicate; -1 when there is none. */
    int lastSoil() {
        return lastSoil;
    }

    /** Whether the result of this cell's lab number comes from this cell. */
    boolean stands(int row, int column) {
        return stands[cell(row, column)] == row;
    }

    // For every lab number the first position without a flaw; the first of all when every one is flawed.
    private int[] standing() {
        int[] chosen = new int[rows * columns];
        Arrays.fill(chosen, -1);
        Map<String, List<Integer>> rowsOf = new HashMap<>();
        for (int row = 0; row < rows; row++) {
            if (role(row) == Role.SAMPLE) {
                rowsOf.computeIfAbsent(at(row, 0).identity(), identity -> new ArrayList<>(1))
                        .add(row);
            }
        }
        for (List<Integer> same : rowsOf.values()) {
            for (int column = 0; column < columns; column++) {
                int best = same.get(0);
                for (int row : same) {
                    if (at(row, column).flaw() == Flaw.NONE) {
                        best = row;
                        break;
                    }
                }
                chosen[cell(best, column)] = best;
            }
        }
        return chosen;
    }

    /** When the last position of a role before the first soil was read; the start of the run when there is none. */
    OffsetDateTime lastBeforeSoils(Role role) {
        int position = -1;
        for (int row = 0; row < firstSoil && row < rows; row++) {
            if (role(row) == role) {
                position = position(row);
            }
        }
        if (role == Role.WASH) {
            // What the carrier alone read has no row.
            for (Reduced.Wash wash : reduced.washes()) {
                if (firstSoil < rows && wash.position() < position(firstSoil)) {
                    position = Math.max(position, wash.position());
                }
            }
        }
        Readings readings = run().readings();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.position(i) == position) {
                return readings.at(i);
            }
        }
        return run().startedAt();
    }
}
