package org.tenmesh.store.days;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

/** What a run is known by, however it comes. */
public final class RunDigest {
    private static final int ROW_BYTES = 44;

    private RunDigest() {}

    /** SHA-256 over everything a run says, so that the same run is known again however it comes. */
    public static String of(Run run) {
        MessageDigest sha256;
        try {
            sha256 = MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
        Readings readings = run.readings();
        List<String> head = new ArrayList<>(List.of(
                run.run(),
                run.method(),
                run.instrument(),
                run.operator().orElse(""),
                run.startedAt().truncatedTo(ChronoUnit.MICROS).toString()));
        head.add("" + readings.size());
        for (List<String> names : List.of(readings.identities(), readings.channels(), readings.quantities())) {
            head.add("" + names.size());
            head.addAll(names);
        }
        for (String text : head) {
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            sha256.update(ByteBuffer.allocate(4).putInt(bytes.length).flip());
            sha256.update(bytes);
        }
        ByteBuffer rows = ByteBuffer.allocate(ROW_BYTES * 512);
        for (int i = 0; i < readings.size(); i++) {
            rows.putInt(readings.position(i))
                    .put((byte) readings.role(i).ordinal())
                    .put((byte) readings.unit(i).ordinal())
                    .putInt(readings.identityCode(i))
                    .putShort((short) readings.channelCode(i))
                    .putShort((short) readings.quantityCode(i))
                    .putDouble(readings.value(i))
                    .putLong(readings.atMillis(i))
                    .putInt(readings.offsetSeconds(i))
                    .putDouble(readings.dilution(i));
            if (rows.remaining() < ROW_BYTES) {
                sha256.update(rows.flip());
                rows.clear();
            }
        }
        sha256.update(rows.flip());
        return HexFormat.of().formatHex(sha256.digest());
    }
}
