package org.tenmesh.core.desk;

import java.time.Instant;

/**
 * What was done about a cause, by whom and why.
 *
 * @param cause id of the cause in the judged day
 * @param reason may be empty text where the action needs none
 */
public record Acted(String day, String cause, Action action, String reason, String actor, Instant at) {}
