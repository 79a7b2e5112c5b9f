package org.tenmesh.core.desk;

import java.time.Instant;
import org.tenmesh.core.causes.Grounds;

/**
 * What was done about a cause, by whom and why.
 *
 * @param grounds the cause as it was when it was decided on
 * @param reason may be empty text where the action needs none
 */
public record Acted(String day, Grounds grounds, Action action, String reason, String actor, Instant at) {
    /** Text of the cause's key. */
    public String cause() {
        return grounds.cause();
    }
}
