package org.tenmesh.store.sheets;

import java.time.Instant;

/**
 * What the dock said of a submission after it was laid out.
 *
 * @param version from 1; what came with it is version 0 and not one of these
 * @param reason why it was changed
 */
public record SaidAnew(int version, KeptSheet.Said said, String reason, String actor, Instant at) {}
