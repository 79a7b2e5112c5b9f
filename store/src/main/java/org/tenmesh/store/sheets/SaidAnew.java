package org.tenmesh.store.sheets;

import java.time.Instant;

/**
 * One version of what the dock said of a submission.
 *
 * @param version of a worksheet that waits from 1, of a submission that was laid out from 0, which is what came with it
 * @param reason why it was changed; empty text of the first
 * @param actor who said it; empty text of what came with a submission
 */
public record SaidAnew(int version, KeptSheet.Said said, String reason, String actor, Instant at) {}
