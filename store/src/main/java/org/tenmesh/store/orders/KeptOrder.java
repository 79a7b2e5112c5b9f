package org.tenmesh.store.orders;

import java.time.Instant;
import java.util.Optional;
import org.tenmesh.core.orders.RunOrder;

/**
 * A run order as it is kept.
 *
 * @param actor who made it
 * @param cancelled empty while it stands
 * @param read whether a run of its name was read, or is being read
 */
public record KeptOrder(RunOrder order, String actor, Optional<Cancelled> cancelled, boolean read) {
    /** Why and by whom it was cancelled. */
    public record Cancelled(String reason, String actor, Instant at) {}

    /** Whether it still waits for its run. */
    public boolean open() {
        return cancelled.isEmpty() && !read;
    }
}
