package org.tenmesh.store.sheets;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Optional;

/**
 * A worksheet that waits to be laid out, as the dock says it last.
 *
 * @param submission the laboratory's name for it
 * @param bytes the file as it came
 * @param said in its newest version
 * @param version how often the dock has said it, from 1
 * @param reason of the newest version; empty text of the first
 * @param receivedAt when the file came
 */
public record KeptSheet(
        String submission,
        String fileName,
        byte[] bytes,
        String sha256,
        Said said,
        int version,
        String reason,
        String actor,
        Instant receivedAt) {
    /** What the dock says of a submission. */
    public record Said(
            String client, Optional<LocalDate> promisedOn, Optional<String> packageName, Optional<String> note) {}
}
