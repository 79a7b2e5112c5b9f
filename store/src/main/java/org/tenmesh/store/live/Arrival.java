package org.tenmesh.store.live;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.tenmesh.store.custody.Recorded;

/**
 * What came from a source in one piece: a file, a line, a frame.
 *
 * @param source where it came from, not empty: one name for one drop folder, socket or serial port
 * @param key by which the source knows it, not empty: sent again it has the same key
 * @param name as a person knows it, such as the name of the file
 * @param receivedAt when it was complete
 * @param bytes as they came; kept unchanged
 * @param parts what was read from it, run by run; empty where nothing was
 * @param recorded what it brought of the temperatures of a device
 * @param setAside why it, or the rest of it, could not be read; never empty text
 */
public record Arrival(
        String source,
        String key,
        String name,
        Instant receivedAt,
        byte[] bytes,
        List<RunPart> parts,
        Optional<Recorded> recorded,
        Optional<String> setAside) {
    public Arrival {
        parts = List.copyOf(parts);
    }

    /** One that brought no temperatures of a device. */
    public Arrival(
            String source,
            String key,
            String name,
            Instant receivedAt,
            byte[] bytes,
            List<RunPart> parts,
            Optional<String> setAside) {
        this(source, key, name, receivedAt, bytes, parts, Optional.empty(), setAside);
    }
}
