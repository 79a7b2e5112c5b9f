package org.tenmesh.core.causes;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;

/** A SHA-256 digest of texts and numbers, each with its length or size, so that no two lists of fields give the same bytes. */
final class Sha256 {
    private final MessageDigest digest;

    Sha256() {
        try {
            digest = MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException absent) {
            throw new IllegalStateException("every Java platform has SHA-256, this one has not", absent);
        }
    }

    Sha256 text(String text) {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        number(bytes.length);
        digest.update(bytes);
        return this;
    }

    Sha256 texts(List<String> texts) {
        number(texts.size());
        texts.forEach(this::text);
        return this;
    }

    Sha256 number(int number) {
        digest.update(ByteBuffer.allocate(Integer.BYTES).putInt(number).array());
        return this;
    }

    /** All bits of a number. */
    Sha256 number(double number) {
        digest.update(ByteBuffer.allocate(Long.BYTES)
                .putLong(Double.doubleToLongBits(number))
                .array());
        return this;
    }

    /** 64 hexadecimal digits; takes no more after this. */
    String hex() {
        return HexFormat.of().formatHex(digest.digest());
    }
}
