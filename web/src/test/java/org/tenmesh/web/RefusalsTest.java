package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import org.junit.jupiter.api.Test;

final class RefusalsTest {
    private long nanos;

    @Test
    void theSameIsToldOnceInTenMinutesByACounterThatNobodySets() {
        Refusals refusals = new Refusals(new MemoryStore(), () -> nanos);
        assertThat(refusals.isNew("T. Byrne, /people")).isTrue();
        nanos += Duration.ofMinutes(10).toNanos() - 1;
        assertThat(refusals.isNew("T. Byrne, /people")).isFalse();
        assertThat(refusals.isNew("T. Byrne, /journal")).isTrue();
        nanos += 1;
        assertThat(refusals.isNew("T. Byrne, /people")).isTrue();
    }
}
