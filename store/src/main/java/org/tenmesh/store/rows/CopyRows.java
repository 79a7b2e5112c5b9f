package org.tenmesh.store.rows;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.postgresql.PGConnection;
import org.postgresql.copy.CopyIn;

/**
 * Rows on their way into a table by binary COPY (PostgreSQL 17 documentation, "COPY", section "Binary Format"). For
 * each row: {@link #row} and then exactly that many fields, in the order of the columns. Not for use by several
 * threads.
 */
public final class CopyRows implements AutoCloseable {
    /** 2000-01-01T00:00Z, where PostgreSQL counts times from. */
    static final Instant EPOCH = Instant.parse("2000-01-01T00:00:00Z");

    static final LocalDate EPOCH_DAY = LocalDate.of(2000, 1, 1);

    private static final byte[] SIGNATURE = {'P', 'G', 'C', 'O', 'P', 'Y', '\n', (byte) 0xff, '\r', '\n', 0};
    private static final int FLUSH_AT = 1 << 16;
    private static final int TEXT_OID = 25;

    private final CopyIn copy;
    private byte[] buffer = new byte[FLUSH_AT + 4096];
    private int size;

    /**
     * Starts a COPY inside the connection's transaction.
     *
     * @param table with its columns: {@code intake.soil (day, ord)}
     */
    public CopyRows(Connection connection, String table) throws SQLException {
        copy = connection
                .unwrap(PGConnection.class)
                .getCopyAPI()
                .copyIn("copy " + table + " from stdin (format binary)");
        System.arraycopy(SIGNATURE, 0, buffer, 0, SIGNATURE.length);
        size = SIGNATURE.length;
        int32(0);
        int32(0);
    }

    public CopyRows row(int fields) throws SQLException {
        if (size >= FLUSH_AT) {
            copy.writeToCopy(buffer, 0, size);
            size = 0;
        }
        room(2);
        int16(fields);
        return this;
    }

    public CopyRows absent() {
        room(4);
        int32(-1);
        return this;
    }

    public CopyRows integer(int value) {
        room(8);
        int32(4);
        int32(value);
        return this;
    }

    public CopyRows integer(OptionalInt value) {
        return value.isPresent() ? integer(value.getAsInt()) : absent();
    }

    public CopyRows small(int value) {
        room(6);
        int32(2);
        int16(value);
        return this;
    }

    public CopyRows number(double value) {
        room(12);
        int32(8);
        int64(Double.doubleToRawLongBits(value));
        return this;
    }

    public CopyRows number(OptionalDouble value) {
        return value.isPresent() ? number(value.getAsDouble()) : absent();
    }

    public CopyRows bool(boolean value) {
        room(5);
        int32(1);
        buffer[size++] = (byte) (value ? 1 : 0);
        return this;
    }

    public CopyRows bool(Optional<Boolean> value) {
        return value.isPresent() ? bool(value.get()) : absent();
    }

    public CopyRows text(String value) {
        return bytes(value.getBytes(StandardCharsets.UTF_8));
    }

    public CopyRows text(Optional<String> value) {
        return value.isPresent() ? text(value.get()) : absent();
    }

    /** Text already in UTF-8. */
    public CopyRows bytes(byte[] utf8) {
        room(4 + utf8.length);
        int32(utf8.length);
        System.arraycopy(utf8, 0, buffer, size, utf8.length);
        size += utf8.length;
        return this;
    }

    public CopyRows date(Optional<LocalDate> value) {
        return value.isPresent() ? integer((int) (value.get().toEpochDay() - EPOCH_DAY.toEpochDay())) : absent();
    }

    /** A time to the microsecond; what is finer is cut off. */
    public CopyRows time(Instant value) {
        return micros((value.getEpochSecond() - EPOCH.getEpochSecond()) * 1_000_000 + value.getNano() / 1000);
    }

    public CopyRows timeMillis(long epochMillis) {
        return micros((epochMillis - EPOCH.toEpochMilli()) * 1000);
    }

    public CopyRows texts(List<String> values) {
        byte[][] all = new byte[values.size()][];
        int length = values.isEmpty() ? 12 : 20;
        for (int i = 0; i < all.length; i++) {
            all[i] = values.get(i).getBytes(StandardCharsets.UTF_8);
            length += 4 + all[i].length;
        }
        room(4 + length);
        int32(length);
        int32(values.isEmpty() ? 0 : 1);
        int32(0);
        int32(TEXT_OID);
        if (!values.isEmpty()) {
            int32(values.size());
            int32(1);
            for (byte[] one : all) {
                int32(one.length);
                System.arraycopy(one, 0, buffer, size, one.length);
                size += one.length;
            }
        }
        return this;
    }

    /** Sends what is left and ends the COPY. */
    public void end() throws SQLException {
        room(2);
        int16(-1);
        copy.writeToCopy(buffer, 0, size);
        size = 0;
        copy.endCopy();
    }

    /** Gives the COPY up when it was not ended. */
    @Override
    public void close() throws SQLException {
        if (copy.isActive()) {
            copy.cancelCopy();
        }
    }

    private CopyRows micros(long sinceEpoch) {
        room(12);
        int32(8);
        int64(sinceEpoch);
        return this;
    }

    private void room(int bytes) {
        if (buffer.length - size < bytes) {
            buffer = Arrays.copyOf(buffer, Math.max(buffer.length * 2, size + bytes));
        }
    }

    private void int16(int value) {
        buffer[size++] = (byte) (value >> 8);
        buffer[size++] = (byte) value;
    }

    private void int32(int value) {
        buffer[size++] = (byte) (value >> 24);
        buffer[size++] = (byte) (value >> 16);
        buffer[size++] = (byte) (value >> 8);
        buffer[size++] = (byte) value;
    }

    private void int64(long value) {
        int32((int) (value >> 32));
        int32((int) value);
    }
}
