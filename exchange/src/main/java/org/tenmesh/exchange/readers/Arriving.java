package org.tenmesh.exchange.readers;

import java.time.OffsetDateTime;
import java.util.Optional;
import org.tenmesh.core.orders.RunOrder;

/**
 * What is known of an export beside its bytes.
 *
 * @param receivedAt when it came, for a reader that says {@code time: received}
 * @param positionsBefore positions that its run has already, for a reader that says {@code position: count}; 0 or more
 * @param order what its run was to read, for a reader that says {@code identity: order}
 */
public record Arriving(Optional<OffsetDateTime> receivedAt, int positionsBefore, Optional<RunOrder> order) {
    /** Nothing is known: a file that somebody looks at. */
    public static final Arriving UNKNOWN = new Arriving(Optional.empty(), 0, Optional.empty());
}
