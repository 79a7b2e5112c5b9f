package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Role;

/** Collects what the gates of one run said. */
final class Gates {
    private final RunTable table;
    private final List<GateOutcome> outcomes = new ArrayList<>();
    /** What was read for each gate, so that it can be judged there. */
    private final Map<Gate, Set<Lane>> judged = new EnumMap<>(Gate.class);

    Gates(RunTable table) {
        this.table = table;
    }

    /** Something was read before the first soil by which a gate can be judged, for one column under one channel. */
    void judges(Gate gate, int row, int column) {
        judges(gate, new Lane(column, channel(row, column)));
    }

    void judges(Gate gate, Lane lane) {
        judged.computeIfAbsent(gate, one -> new HashSet<>()).add(lane);
    }

    boolean isJudged(Gate gate, Lane lane) {
        return judged.getOrDefault(gate, Set.of()).contains(lane)
                // One control soil of a run answers for all its probes, cells and detectors.
                || gate == Gate.OWN_CONTROL
                        && judged.getOrDefault(gate, Set.of()).stream().anyMatch(one -> one.column() == lane.column());
    }

    /** Whether nothing was read by which this gate can be judged, and nothing shut it. */
    boolean nothingJudged(Gate gate) {
        return judged.getOrDefault(gate, Set.of()).isEmpty()
                && outcomes.stream().noneMatch(outcome -> outcome.gate() == gate);
    }

    /** The probe or cell where each is calibrated by itself; empty text elsewhere. */
    String channel(int row, int column) {
        return table.method().channel().isPresent() ? table.at(row, column).channel() : "";
    }

    /** A gate decided by the checks before the first soil; no checks, no outcome: {@link RequiredGates} looks for those. */
    void decide(Gate gate, List<Check> checks, String limit, Role role) {
        if (!checks.isEmpty()) {
            Check worst = Check.worst(checks);
            add(
                    gate,
                    worst.passes(),
                    (worst.passes() ? "worst: " : "") + worst.evidence().get(),
                    limit,
                    role);
        }
    }

    void add(Gate gate, boolean open, String observed, String limit, Role role) {
        OffsetDateTime at = table.lastBeforeSoils(role);
        outcomes.add(new GateOutcome(table.run().instrument(), table.run().run(), gate, open, observed, limit, at));
    }

    /** Shuts a gate for which nothing was read; one that is shut already keeps its reason. */
    void shut(Gate gate, String observed, Role role) {
        if (outcomes.stream().noneMatch(outcome -> outcome.gate() == gate && !outcome.open())) {
            outcomes.removeIf(outcome -> outcome.gate() == gate);
            add(gate, false, observed, "required before the first soil", role);
        }
    }

    /** In the order in which they must open. */
    List<GateOutcome> outcomes() {
        outcomes.sort(Comparator.comparing(GateOutcome::gate));
        return outcomes;
    }
}
