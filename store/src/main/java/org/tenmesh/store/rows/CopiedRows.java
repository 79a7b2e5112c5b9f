package org.tenmesh.store.rows;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.postgresql.PGConnection;
import org.postgresql.copy.CopyOut;

/**
 * Rows on their way out of a query by binary COPY: {@link #next} and then one call a column, in their order. Not for
 * use by several threads.
 */
public final class CopiedRows implements AutoCloseable {
    private static final int HEADER = 19;

    private final CopyOut copy;
    private ByteBuffer row = ByteBuffer.allocate(0);
    private boolean first = true;

    /** @param query a select without parameters */
    public CopiedRows(Connection connection, String query) throws SQLException {
        copy = connection
                .unwrap(PGConnection.class)
                .getCopyAPI()
                .copyOut("copy (" + query + ") to stdout (format binary)");
    }

    /** Steps to the next row; false when there is none. */
    public boolean next() throws SQLException {
        while (true) {
            byte[] bytes = copy.readFromCopy();
            if (bytes == null) {
                return false;
            }
            row = ByteBuffer.wrap(bytes);
            if (first) {
                // The header comes alone or before the first row, as the server likes.
                row.position(HEADER + row.getInt(HEADER - 4));
                first = false;
            }
            if (row.remaining() >= 2 && row.getShort() >= 0) {
                return true;
            }
        }
    }

    /** What is left of this row, for later. */
    public ByteBuffer keep() {
        return row;
    }

    /** Goes back to a row that was kept. */
    public void turnTo(ByteBuffer kept) {
        row = kept;
    }

    public int integer() {
        return integerOrNone().orElseThrow();
    }

    public OptionalInt integerOrNone() {
        return row.getInt() < 0 ? OptionalInt.empty() : OptionalInt.of(row.getInt());
    }

    public int small() {
        row.getInt();
        return row.getShort();
    }

    public double number() {
        row.getInt();
        return row.getDouble();
    }

    public OptionalDouble numberOrNone() {
        return row.getInt() < 0 ? OptionalDouble.empty() : OptionalDouble.of(row.getDouble());
    }

    public boolean bool() {
        return boolOrNone().orElseThrow();
    }

    public Optional<Boolean> boolOrNone() {
        return row.getInt() < 0 ? Optional.empty() : Optional.of(row.get() != 0);
    }

    public String text() {
        return text(row.getInt());
    }

    public Optional<String> textOrNone() {
        int length = row.getInt();
        return length < 0 ? Optional.empty() : Optional.of(text(length));
    }

    /** The text, from the names met before where it is among them. */
    public String text(Names names) {
        int length = row.getInt();
        String name = names.of(row.array(), row.position(), length);
        row.position(row.position() + length);
        return name;
    }

    public Optional<LocalDate> dateOrNone() {
        return row.getInt() < 0 ? Optional.empty() : Optional.of(CopyRows.EPOCH_DAY.plusDays(row.getInt()));
    }

    public Instant time() {
        row.getInt();
        long micros = row.getLong();
        return CopyRows.EPOCH
                .plusSeconds(Math.floorDiv(micros, 1_000_000L))
                .plusNanos(Math.floorMod(micros, 1_000_000L) * 1000);
    }

    /** Milliseconds since 1970-01-01T00:00Z. */
    public long timeMillis() {
        row.getInt();
        return CopyRows.EPOCH.toEpochMilli() + Math.floorDiv(row.getLong(), 1000L);
    }

    public List<String> texts() {
        row.getInt();
        int dimensions = row.getInt();
        row.getInt();
        row.getInt();
        if (dimensions == 0) {
            return List.of();
        }
        int count = row.getInt();
        row.getInt();
        List<String> texts = new ArrayList<>(count);
        for (int i = 0; i < count; i++) {
            texts.add(text());
        }
        return List.copyOf(texts);
    }

    private String text(int length) {
        String text = new String(row.array(), row.position(), length, StandardCharsets.UTF_8);
        row.position(row.position() + length);
        return text;
    }

    /** Reads what is left. A COPY that is cancelled half read leaves its rows to the connection's next query. */
    @Override
    public void close() throws SQLException {
        while (copy.isActive() && copy.readFromCopy() != null) {
            // Rows that nobody wants.
        }
    }

    /** Names that repeat from row to row, made into text once: a small table, the newest in each place. */
    public static final class Names {
        private static final int PLACES = 1 << 10;
        private final byte[][] keys = new byte[PLACES][];
        private final String[] names = new String[PLACES];

        public Names() {
            Arrays.fill(keys, new byte[0]);
            Arrays.fill(names, "");
        }

        String of(byte[] bytes, int from, int length) {
            int hash = length;
            for (int i = from; i < from + length; i++) {
                hash = hash * 31 + bytes[i];
            }
            int place = (hash ^ hash >>> 16) & PLACES - 1;
            byte[] key = keys[place];
            if (!Arrays.equals(key, 0, key.length, bytes, from, from + length)) {
                keys[place] = Arrays.copyOfRange(bytes, from, from + length);
                names[place] = new String(bytes, from, length, StandardCharsets.UTF_8);
            }
            return names[place];
        }
    }
}
