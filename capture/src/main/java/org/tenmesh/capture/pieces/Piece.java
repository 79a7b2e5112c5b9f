package org.tenmesh.capture.pieces;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;

/**
 * Something that came from a source: a file, some lines, a record, a form.
 *
 * @param source the source's name
 * @param key the same when the same thing is sent again, unlike that of everything else from this source; up to 200 characters
 * @param name what people call it, such as the file's name
 * @param receivedAt when it came, by this machine's clock
 * @param bytes as they came; not to be changed by anybody
 * @param parts what it adds to runs; none when it is set aside
 * @param temperatures what it adds to the record of a device; empty when it is set aside
 * @param setAside why nothing of it is taken; empty when it is
 * @param actor who typed or sent it; the source itself where nobody did
 */
public record Piece(
        String source,
        String key,
        String name,
        Instant receivedAt,
        byte[] bytes,
        List<RunPart> parts,
        Optional<Temperatures> temperatures,
        Optional<String> setAside,
        String actor) {
    public Piece {
        parts = List.copyOf(parts);
        if (setAside.isPresent() && (!parts.isEmpty() || temperatures.isPresent())) {
            throw new IllegalArgumentException(
                    name + " from " + source + " is set aside and adds something: expected one of both");
        }
    }

    /** What came, before anything is read of it. */
    public static Piece of(String source, String key, String name, Instant receivedAt, byte[] bytes) {
        return new Piece(
                source,
                key,
                name,
                receivedAt,
                bytes,
                List.of(),
                Optional.empty(),
                Optional.empty(),
                "source " + source);
    }

    /** The same piece with what it adds to runs. */
    public Piece adds(List<RunPart> some) {
        return new Piece(source, key, name, receivedAt, bytes, some, Optional.empty(), Optional.empty(), actor);
    }

    /** The same piece with what it adds to the record of a device. */
    public Piece adds(Temperatures some) {
        return new Piece(source, key, name, receivedAt, bytes, List.of(), Optional.of(some), Optional.empty(), actor);
    }

    /** The same piece, of which nothing is taken. */
    public Piece aside(String why) {
        return new Piece(source, key, name, receivedAt, bytes, List.of(), Optional.empty(), Optional.of(why), actor);
    }

    /** The same piece under another key. */
    public Piece under(String another) {
        return new Piece(source, another, name, receivedAt, bytes, parts, temperatures, setAside, actor);
    }

    /** The same piece, typed or sent by somebody. */
    public Piece by(String person) {
        return new Piece(source, key, name, receivedAt, bytes, parts, temperatures, setAside, person);
    }

    /** How many readings it holds. */
    public int readings() {
        return parts.stream().mapToInt(part -> part.run().readings().size()).sum()
                + temperatures.map(one -> one.points().size()).orElse(0);
    }

    /** SHA-256 of its bytes, 64 hexadecimal digits. */
    public String sha256() {
        return sha256(bytes);
    }

    /** SHA-256 of some bytes, 64 hexadecimal digits. */
    public static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException absent) {
            throw new IllegalStateException("every Java platform has SHA-256, this one has not", absent);
        }
    }
}
