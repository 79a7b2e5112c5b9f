package org.tenmesh.core.desk;

import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/** Whether the decision about a cause may still be taken back. */
public final class Withdrawal {
    private Withdrawal() {}

    /** Why it may not, in one sentence; empty when it may. */
    public static Optional<String> refused(Desk desk, Cause cause) {
        Optional<Rulings.Decision> decision = desk.decision(cause.id());
        if (decision.isEmpty()) {
            return Optional.of("Nothing was decided about this cause, or it was withdrawn already.");
        }
        if (decision.get().action() == Action.ORDER_REDO) {
            return RedoOrder.of(desk, cause).stream().anyMatch(RedoOrder::begun)
                    ? Optional.of("A run has read a tray of this order since; what was read stays.")
                    : Optional.empty();
        }
        Set<ResultKey> touched = Set.copyOf(cause.touched());
        Set<String> released = desk.releases().stream()
                .filter(release -> !release.signedAt()
                        .toInstant()
                        .isBefore(decision.get().acted().at()))
                .filter(release -> release.results().stream()
                        .filter(result -> result.heldBecause().isEmpty())
                        .anyMatch(result -> touched.contains(key(result))))
                .map(Release::submission)
                .collect(Collectors.toSet());
        return released.isEmpty()
                ? Optional.empty()
                : Optional.of("Results under this acceptance were released since, in "
                        + String.join(", ", released.stream().sorted().toList())
                        + "; order the redo instead, and amend the report.");
    }

    private static ResultKey key(ReleasedResult result) {
        return new ResultKey(result.labNumber(), result.method(), result.analyte());
    }
}
