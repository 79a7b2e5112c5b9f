package org.tenmesh.capture.runs;

import java.time.Instant;

/**
 * One line or record as it came.
 *
 * @param key the same when the same thing is sent again
 * @param text what begins and ends of runs are looked for in
 * @param bytes what the reader reads
 * @param receivedAt when it came
 */
public record Arrived(String key, String text, byte[] bytes, Instant receivedAt) {}
