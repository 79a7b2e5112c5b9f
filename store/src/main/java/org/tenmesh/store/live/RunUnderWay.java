package org.tenmesh.store.live;

import java.time.Instant;
import org.tenmesh.core.reduction.Run;

/**
 * A run of which more is to come, as it is listed.
 *
 * @param day the laboratory day that it belongs to by what it read so far
 * @param head the run without its readings
 * @param readings how many were taken
 * @param firstAt when its first readings were taken
 * @param lastAt when its newest readings were taken
 */
public record RunUnderWay(String day, Run head, int readings, Instant firstAt, Instant lastAt) {}
