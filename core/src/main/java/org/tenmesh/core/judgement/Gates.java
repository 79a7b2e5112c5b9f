package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.judgement.GateOutcome.Gate;
import org.tenmesh.core.reduction.Role;

/** Collects what the gates of one run said. */
final class Gates {
    private final RunTable table;
    private final List<GateOutcome> outcomes = new ArrayList<>();

    Gates(RunTable table) {
        this.table = table;
    }

    /** A gate decided by the checks before the first soil; no checks, no gate. */
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

    List<GateOutcome> outcomes() {
        return outcomes;
    }
}
