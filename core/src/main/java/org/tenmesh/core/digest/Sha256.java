package org.tenmesh.core.digest;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;

/**
 * A SHA-256 digest of texts and numbers, each with its length or size, so that no two lists of fields give the same bytes. Not for use by
 * several threads.
 */
public final class Sha256 {
    private final MessageDigest digest;
    // One call of the platform's digest for each number would take longer than the digest itself.
    private final ByteBuffer waiting = ByteBuffer.allocate(1024);

    // Looking the algorithm up takes longer than digesting a small record: a copy of one that is never fed does not.
    private static final MessageDigest EMPTY = lookedUp();

    public Sha256() {
        try {
            digest = (MessageDigest) EMPTY.clone();
        } catch (CloneNotSupportedException absent) {
            throw new IllegalStateException("the platform's SHA-256 cannot be copied", absent);
        }
    }

    private static MessageDigest lookedUp() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException absent) {
            throw new IllegalStateException("every Java platform has SHA-256, this one has not", absent);
        }
    }

    public Sha256 text(String text) {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        number(bytes.length);
        if (bytes.length > waiting.remaining()) {
            flush();
        }
        if (bytes.length > waiting.remaining()) {
            digest.update(bytes);
        } else {
            waiting.put(bytes);
        }
        return this;
    }

    public Sha256 texts(List<String> texts) {
        number(texts.size());
        texts.forEach(this::text);
        return this;
    }

    public Sha256 number(int number) {
        room(Integer.BYTES).putInt(number);
        return this;
    }

    public Sha256 number(long number) {
        room(Long.BYTES).putLong(number);
        return this;
    }

    /** All bits of a number; all that are not a number are one. */
    public Sha256 number(double number) {
        room(Long.BYTES).putLong(Double.doubleToLongBits(number));
        return this;
    }

    private ByteBuffer room(int bytes) {
        if (waiting.remaining() < bytes) {
            flush();
        }
        return waiting;
    }

    private void flush() {
        digest.update(waiting.flip());
        waiting.clear();
    }

    /** 64 hexadecimal digits; takes no more after this. */
    public String hex() {
        flush();
        return HexFormat.of().formatHex(digest.digest());
    }
}
