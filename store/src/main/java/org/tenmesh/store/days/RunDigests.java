package org.tenmesh.store.days;

import java.nio.ByteBuffer;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.Map;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.journal.RowDigests;

/**
 * Short digests of what was read of each identity in a run. They only say where a run differs; whether it does is said by the
 * digest of the whole run.
 */
public final class RunDigests {
    private static final int SHORT_BYTES = 8;
    private static final int BYTES_A_READING = 48;

    private RunDigests() {}

    /** By identity; what has none goes by its position. */
    public static RowDigests byIdentity(Run run) {
        Readings readings = run.readings();
        Map<String, MessageDigest> byName = new HashMap<>();
        ByteBuffer row = ByteBuffer.allocate(BYTES_A_READING);
        for (int i = 0; i < readings.size(); i++) {
            String identity = readings.identities().get(readings.identityCode(i));
            String name = identity.isEmpty() ? "position " + readings.position(i) : identity;
            row.clear();
            row.putInt(readings.position(i))
                    .putInt(readings.role(i).word().hashCode())
                    .putInt(readings.unit(i).ucum().hashCode())
                    .putInt(readings.channels().get(readings.channelCode(i)).hashCode())
                    .putInt(readings.quantities().get(readings.quantityCode(i)).hashCode())
                    .putDouble(readings.value(i))
                    .putLong(readings.atMillis(i))
                    .putInt(readings.offsetSeconds(i))
                    .putDouble(readings.dilution(i));
            byName.computeIfAbsent(name, n -> sha256()).update(row.flip());
        }
        Map<String, String> digests = new HashMap<>();
        byName.forEach((name, digest) ->
                digests.put(RowDigests.escaped(name), HexFormat.of().formatHex(digest.digest(), 0, SHORT_BYTES)));
        return new RowDigests(digests);
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
