package org.tenmesh.store;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;

/** The clock of this machine, set forward or back by a test. */
final class SteppedClock extends Clock {
    private volatile Duration ahead = Duration.ZERO;

    void step(Duration by) {
        ahead = ahead.plus(by);
    }

    @Override
    public Instant instant() {
        return Instant.now().plus(ahead);
    }

    @Override
    public ZoneId getZone() {
        return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
        return this;
    }
}
