package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Reduced.Wash;
import org.tenmesh.core.reduction.Role;

/**
 * What a run under way has not read yet. Soils wait until something of known content was read after them: a check solution where the run has
 * any, a blank, an open control soil or a baseline where the run reads them between its soils. Where it reads none of these they wait for the
 * end of the run. Hidden control soils play no part: where soils stop waiting would tell where one lies.
 */
final class StillToCome {
    private final RunTable table;
    private final Gates gates;
    private final Map<Lane, Integer> lastChecks = new HashMap<>();
    private final Set<Gate> notRead = new TreeSet<>();
    private final List<Awaited> awaited = new ArrayList<>();

    StillToCome(RunTable table, Gates gates) {
        this.table = table;
        this.gates = gates;
    }

    /** Whether the last thing read of what an outcome calibrates is a standard: more of them may follow. */
    static boolean calibrates(RunTable table, CalibrationOutcome outcome) {
        if (!table.run().underWay()) {
            return false;
        }
        for (int row = table.rows() - 1; row >= 0; row--) {
            if (outcome.channel().isEmpty() || isOf(table, row, outcome.channel())) {
                return table.role(row) == Role.STANDARD;
            }
        }
        return true;
    }

    /** Whether the last thing that was read is a standard, of whatever it calibrates. */
    static boolean calibrates(RunTable table) {
        return table.run().underWay() && table.rows() > 0 && table.role(table.rows() - 1) == Role.STANDARD;
    }

    private static boolean isOf(RunTable table, int row, String channel) {
        for (int column = 0; column < table.columns(); column++) {
            if (table.at(row, column).channel().equals(channel)) {
                return true;
            }
        }
        return false;
    }

    /** Nothing that can be judged was read for a gate yet; the soils read under these lanes wait for it. */
    void gate(Gate gate, List<Lane> lanes, String what) {
        notRead.add(gate);
        lanes.forEach(lane -> waits(lane, table.firstSoil(), what));
    }

    /**
     * What soils wait for, after everything else was judged.
     *
     * @param required gates that the method must have passed
     * @param checks check solutions that could be judged
     */
    void judge(Set<Gate> required, Map<Lane, List<Check>> checks) {
        required.stream().filter(gate -> gates.nothingJudged(gate)).forEach(notRead::add);
        checks.forEach((lane, own) -> own.forEach(check -> lastChecks.merge(
                new Lane(lane.column(), gates.channel(check.row(), lane.column())), check.row(), Math::max)));
        boolean anyCheck = required.contains(Gate.KNOWN_SOLUTIONS) || hasAny(Role.VERIFICATION);
        int lastBlank = lastAfterSoils(Role.BLANK);
        int lastControl = lastAfterSoils(Role.CONTROL);
        int lastWash = lastWash();
        for (Lane lane : soilLanes()) {
            if (anyCheck) {
                waits(lane, 1 + lastChecks.getOrDefault(lane, -1), "the check solution after it");
            }
            if (lastBlank >= 0) {
                waits(lane, lastBlank + 1, "the blank after it");
            }
            if (lastControl >= 0) {
                waits(lane, lastControl + 1, "the open control soil after it");
            }
            if (lastWash >= 0) {
                waits(lane, lastWash + 1, "the baseline after it");
            }
            if (!anyCheck && lastBlank < 0 && lastControl < 0 && lastWash < 0) {
                waits(lane, 0, "the end of its run");
            }
        }
    }

    /**
     * Whether what is missing at a row may still be read: a quantity that was read of no later position. Instruments read position after
     * position; at the balance all vessels are weighed empty first.
     */
    boolean mayStillBeRead(int row) {
        return incomplete().contains(table.position(row));
    }

    private Set<Integer> incomplete() {
        Readings readings = table.run().readings();
        Map<String, Integer> furthest = new HashMap<>();
        Map<Integer, Set<String>> read = new HashMap<>();
        for (int i = 0; i < readings.size(); i++) {
            furthest.merge(readings.quantity(i), readings.position(i), Math::max);
            read.computeIfAbsent(readings.position(i), position -> new LinkedHashSet<>())
                    .add(readings.quantity(i));
        }
        Set<Integer> incomplete = new TreeSet<>();
        read.forEach((position, own) -> {
            for (String quantity : table.method().unitsRead().keySet()) {
                if (!own.contains(quantity) && furthest.getOrDefault(quantity, 0) < position) {
                    incomplete.add(position);
                }
            }
        });
        return incomplete;
    }

    /** The rest of a position's readings is waited for. */
    void readings(int row, int column) {
        awaited.add(new Awaited(
                table.analyte(column).symbol(),
                "",
                table.position(row),
                table.position(row),
                "the other readings of its position"));
    }

    List<Gate> notRead() {
        return List.copyOf(notRead);
    }

    List<Awaited> awaited() {
        return awaited;
    }

    boolean waits(int row, int column) {
        return awaited.stream()
                .anyMatch(one -> one.concerns(
                        table.analyte(column).symbol(), table.at(row, column).channel(), table.position(row)));
    }

    private void waits(Lane lane, int fromRow, String what) {
        int from = Math.max(fromRow, table.firstSoil());
        if (from <= table.lastSoil()) {
            Awaited one = new Awaited(
                    table.analyte(lane.column()).symbol(),
                    lane.channel(),
                    table.position(from),
                    table.position(table.lastSoil()),
                    what);
            if (!awaited.contains(one)) {
                awaited.add(one);
            }
        }
    }

    private List<Lane> soilLanes() {
        Set<Lane> lanes = new LinkedHashSet<>();
        for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
            if (table.role(row) == Role.SAMPLE || table.role(row) == Role.DUPLICATE) {
                for (int column = 0; column < table.columns(); column++) {
                    lanes.add(new Lane(column, gates.channel(row, column)));
                }
            }
        }
        return List.copyOf(lanes);
    }

    private boolean hasAny(Role role) {
        for (int row = 0; row < table.rows(); row++) {
            if (table.role(row) == role) {
                return true;
            }
        }
        return false;
    }

    // The last row of the role that could be judged, where some stand between soils; -1 where none do.
    private int lastAfterSoils(Role role) {
        for (int row = table.rows() - 1; row > table.firstSoil(); row--) {
            if (table.role(row) == role && table.at(row, 0).flaw() != Flaw.MISSING_READING) {
                return row;
            }
        }
        return -1;
    }

    private int lastWash() {
        int last = -1;
        for (Wash wash : table.reduced().washes()) {
            if (table.firstSoil() < table.rows() && wash.position() > table.position(table.firstSoil())) {
                last = Math.max(last, table.row(wash.position()) - 1);
            }
        }
        return last;
    }
}
