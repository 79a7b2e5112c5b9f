package org.tenmesh.store;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.HexFormat;

/** The append-only record: each entry's hash is taken over the hash before it. */
final class Journal {
    /** What stands before the first entry. */
    static final String START = "0".repeat(64);

    private static final DateTimeFormatter TIME =
            DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'").withZone(ZoneOffset.UTC);

    private Journal() {}

    /** A time as it stands in the canonical text: UTC, always three decimals. */
    static String time(Instant at) {
        return TIME.format(at);
    }

    /** SHA-256 (FIPS 180-4) over the previous hash as text followed by the canonical text, both UTF-8. */
    static String chain(String previousSha256, String canonical) {
        return sha256((previousSha256 + canonical).getBytes(StandardCharsets.UTF_8));
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
