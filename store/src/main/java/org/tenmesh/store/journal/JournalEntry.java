package org.tenmesh.store.journal;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import org.tenmesh.store.rows.Json;

/**
 * One entry of the journal.
 *
 * @param seq 1, 2, 3 … without gaps
 * @param at to the millisecond
 * @param actor who
 * @param what one word for what was done: {@code day-taken}, {@code cause-acted}, {@code released}
 * @param subject what it was done to: {@code 2026-11-25}, {@code 2026-11-25/SUB-0007/2}
 * @param detail canonical JSON object
 * @param previousSha256 of the entry before; 64 zeros for the first
 * @param sha256 SHA-256 over {@code previousSha256} as text followed by the canonical JSON of the entry, UTF-8
 */
public record JournalEntry(
        long seq,
        Instant at,
        String actor,
        String what,
        String subject,
        String detail,
        String previousSha256,
        String sha256) {
    private static final DateTimeFormatter TIME =
            DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'").withZone(ZoneOffset.UTC);

    /** The entry as canonical JSON: what the hash is taken over, after the previous hash. */
    public String canonical() {
        return "{\"actor\":" + Json.text(actor) + ",\"at\":" + Json.text(time(at)) + ",\"detail\":" + detail
                + ",\"seq\":" + seq + ",\"subject\":" + Json.text(subject) + ",\"what\":" + Json.text(what) + "}";
    }

    /** A time as it stands in the canonical text: UTC, always three decimals. */
    static String time(Instant at) {
        return TIME.format(at);
    }
}
