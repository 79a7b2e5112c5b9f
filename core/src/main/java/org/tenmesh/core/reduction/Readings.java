package org.tenmesh.core.reduction;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.digest.Digested;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.quantity.Unit;

/**
 * The readings of one run, column by column: a day has a million of them, and a record each would cost more than the
 * science. Immutable once built; row {@code i} runs from 0 to {@code size() - 1} in the order read.
 */
public final class Readings implements Digested {
    private static final Role[] ROLES = Role.values();
    private static final Unit[] UNITS = Unit.values();

    private final int size;
    private final int[] position;
    private final byte[] role;
    private final int[] identity;
    private final short[] channel;
    private final short[] quantity;
    private final double[] value;
    private final byte[] unit;
    private final long[] atMillis;
    private final int[] offsetSeconds;
    private final double[] dilution;
    private final List<String> identities;
    private final List<String> channels;
    private final List<String> quantities;
    // Made when first asked for. Two threads that ask at once make the same text twice; neither sees another one.
    private @Nullable String digest;

    private Readings(Builder b) {
        size = b.size;
        position = Arrays.copyOf(b.position, size);
        role = Arrays.copyOf(b.role, size);
        identity = Arrays.copyOf(b.identity, size);
        channel = Arrays.copyOf(b.channel, size);
        quantity = Arrays.copyOf(b.quantity, size);
        value = Arrays.copyOf(b.value, size);
        unit = Arrays.copyOf(b.unit, size);
        atMillis = Arrays.copyOf(b.atMillis, size);
        offsetSeconds = Arrays.copyOf(b.offsetSeconds, size);
        dilution = Arrays.copyOf(b.dilution, size);
        identities = List.copyOf(b.identities.names);
        channels = List.copyOf(b.channels.names);
        quantities = List.copyOf(b.quantities.names);
    }

    private Readings(Readings other, short[] quantity, List<String> quantities) {
        size = other.size;
        position = other.position;
        role = other.role;
        identity = other.identity;
        channel = other.channel;
        this.quantity = quantity;
        value = other.value;
        unit = other.unit;
        atMillis = other.atMillis;
        offsetSeconds = other.offsetSeconds;
        dilution = other.dilution;
        identities = other.identities;
        channels = other.channels;
        this.quantities = List.copyOf(quantities);
    }

    /** Number of readings. */
    public int size() {
        return size;
    }

    /** Position in the run, 1 or more. */
    public int position(int i) {
        return position[i];
    }

    public Role role(int i) {
        return ROLES[role[i]];
    }

    /** A standard's or material's name, or a lab number. */
    public String identity(int i) {
        return identities.get(identity[i]);
    }

    /** Index of the identity in {@link #identities()}. */
    public int identityCode(int i) {
        return identity[i];
    }

    /** Which probe, balance or detector; empty text when none was given. */
    public String channel(int i) {
        return channels.get(channel[i]);
    }

    /** Index of the channel in {@link #channels()}. */
    public int channelCode(int i) {
        return channel[i];
    }

    public String quantity(int i) {
        return quantities.get(quantity[i]);
    }

    /** Index of the quantity in {@link #quantities()}. */
    public int quantityCode(int i) {
        return quantity[i];
    }

    /** The raw value, in {@link #unit(int)}. */
    public double value(int i) {
        return value[i];
    }

    public Unit unit(int i) {
        return UNITS[unit[i]];
    }

    /** When it was read, milliseconds since 1970-01-01T00:00Z. */
    public long atMillis(int i) {
        return atMillis[i];
    }

    /** The offset that the time was written in, seconds east of UTC. */
    public int offsetSeconds(int i) {
        return offsetSeconds[i];
    }

    /** When it was read, with the offset it was written in. */
    public OffsetDateTime at(int i) {
        return Instant.ofEpochMilli(atMillis[i]).atOffset(ZoneOffset.ofTotalSeconds(offsetSeconds[i]));
    }

    /** Dilution of the extract before reading, a factor of 1 or more. */
    public double dilution(int i) {
        return dilution[i];
    }

    /** Every identity that occurs, in order of first occurrence. */
    public List<String> identities() {
        return identities;
    }

    /** Every channel that occurs, in order of first occurrence. */
    public List<String> channels() {
        return channels;
    }

    /** Every quantity that occurs, in order of first occurrence. */
    public List<String> quantities() {
        return quantities;
    }

    /** The code of a quantity, or -1 when it does not occur. */
    public int quantityCode(String name) {
        return quantities.indexOf(name);
    }

    /**
     * The same readings with some quantities under other names; quantities that come to the same name are one from then on.
     *
     * @param names new names by old ones
     */
    Readings renamed(Map<String, String> names) {
        if (names.isEmpty()) {
            return this;
        }
        Names fresh = new Names();
        short[] codes = new short[quantities.size()];
        for (int i = 0; i < codes.length; i++) {
            String old = quantities.get(i);
            codes[i] = (short) fresh.code(names.getOrDefault(old, old));
        }
        short[] renamed = new short[size];
        for (int i = 0; i < size; i++) {
            renamed[i] = codes[quantity[i]];
        }
        return new Readings(this, renamed, fresh.names);
    }

    @Override
    public String digest() {
        String made = digest;
        if (made == null) {
            Sha256 sha256 =
                    new Sha256().number(size).texts(identities).texts(channels).texts(quantities);
            for (int i = 0; i < size; i++) {
                sha256.number(position[i])
                        .number((int) role[i])
                        .number(identity[i])
                        .number((int) channel[i])
                        .number((int) quantity[i])
                        .number(value[i])
                        .number((int) unit[i])
                        .number(atMillis[i])
                        .number(offsetSeconds[i])
                        .number(dilution[i]);
            }
            made = sha256.hex();
            digest = made;
        }
        return made;
    }

    /** A number that equal readings share; unequal ones nearly never do. */
    public long fingerprint() {
        long print = size;
        for (int i = 0; i < size; i++) {
            print = 31 * print + Double.hashCode(value[i]);
            print = 31 * print + Long.hashCode(atMillis[i]);
            print = 31 * print + position[i];
        }
        return print;
    }

    /** Whether the other readings are these, row by row, in everything but the run they are filed under. */
    public boolean sameAs(Readings other) {
        if (size != other.size || !Arrays.equals(value, other.value) || !Arrays.equals(atMillis, other.atMillis)) {
            return false;
        }
        for (int i = 0; i < size; i++) {
            if (position[i] != other.position[i]
                    || role[i] != other.role[i]
                    || !identity(i).equals(other.identity(i))
                    || !quantity(i).equals(other.quantity(i))
                    || !channel(i).equals(other.channel(i))) {
                return false;
            }
        }
        return true;
    }

    /** These readings, and after them the others; neither is changed. */
    public Readings and(Readings others) {
        Builder both = builder();
        addTo(both, 0, size);
        others.addTo(both, 0, others.size);
        return both.build();
    }

    /**
     * A part of these readings, in their order.
     *
     * @param from the first row, from 0
     * @param to the row after the last
     */
    public Readings part(int from, int to) {
        Builder some = builder();
        addTo(some, from, to);
        return some.build();
    }

    private void addTo(Builder builder, int from, int to) {
        for (int i = from; i < to; i++) {
            builder.add(
                    position[i],
                    role(i),
                    identity(i),
                    channel(i),
                    quantity(i),
                    value[i],
                    unit(i),
                    atMillis[i],
                    offsetSeconds[i],
                    dilution[i]);
        }
    }

    public static Builder builder() {
        return new Builder();
    }

    /** Collects readings in the order read. Not for use by several threads. */
    public static final class Builder {
        private int size;
        private int[] position = new int[256];
        private byte[] role = new byte[256];
        private int[] identity = new int[256];
        private short[] channel = new short[256];
        private short[] quantity = new short[256];
        private double[] value = new double[256];
        private byte[] unit = new byte[256];
        private long[] atMillis = new long[256];
        private int[] offsetSeconds = new int[256];
        private double[] dilution = new double[256];
        private final Names identities = new Names();
        private final Names channels = new Names();
        private final Names quantities = new Names();

        private Builder() {}

        /** Adds one reading; {@code channel} may be empty text. */
        public Builder add(
                int position,
                Role role,
                String identity,
                String channel,
                String quantity,
                double value,
                Unit unit,
                OffsetDateTime at,
                double dilution) {
            return add(
                    position,
                    role,
                    identity,
                    channel,
                    quantity,
                    value,
                    unit,
                    at.toInstant().toEpochMilli(),
                    at.getOffset().getTotalSeconds(),
                    dilution);
        }

        /**
         * Adds one reading.
         *
         * @param position 1 or more
         * @param channel may be empty text
         * @param value finite
         * @param atMillis milliseconds since 1970-01-01T00:00Z
         * @param offsetSeconds the offset the time was written in
         * @param dilution 1 or more
         */
        public Builder add(
                int position,
                Role role,
                String identity,
                String channel,
                String quantity,
                double value,
                Unit unit,
                long atMillis,
                int offsetSeconds,
                double dilution) {
            if (position < 1 || dilution < 1 || !Double.isFinite(value)) {
                throw new IllegalArgumentException("position " + position + ", dilution " + dilution + ", value "
                        + value + ": expected a position and a dilution of 1 or more and a finite value");
            }
            if (size == this.value.length) {
                grow();
            }
            this.position[size] = position;
            this.role[size] = (byte) role.ordinal();
            this.identity[size] = identities.code(identity);
            this.channel[size] = (short) channels.code(channel);
            this.quantity[size] = (short) quantities.code(quantity);
            this.value[size] = value;
            this.unit[size] = (byte) unit.ordinal();
            this.atMillis[size] = atMillis;
            this.offsetSeconds[size] = offsetSeconds;
            this.dilution[size] = dilution;
            size++;
            return this;
        }

        public Readings build() {
            return new Readings(this);
        }

        private void grow() {
            int capacity = size * 2;
            position = Arrays.copyOf(position, capacity);
            role = Arrays.copyOf(role, capacity);
            identity = Arrays.copyOf(identity, capacity);
            channel = Arrays.copyOf(channel, capacity);
            quantity = Arrays.copyOf(quantity, capacity);
            value = Arrays.copyOf(value, capacity);
            unit = Arrays.copyOf(unit, capacity);
            atMillis = Arrays.copyOf(atMillis, capacity);
            offsetSeconds = Arrays.copyOf(offsetSeconds, capacity);
            dilution = Arrays.copyOf(dilution, capacity);
        }
    }

    private static final class Names {
        private final Map<String, Integer> codes = new HashMap<>();
        private final List<String> names = new ArrayList<>();
        private Optional<String> last = Optional.empty();
        private int lastCode;

        int code(String name) {
            // Rows of one position follow each other: the last name is nearly always the next one.
            if (last.isPresent() && last.get().equals(name)) {
                return lastCode;
            }
            Integer known = codes.get(name);
            if (known == null) {
                known = names.size();
                names.add(name);
                codes.put(name, known);
            }
            last = Optional.of(name);
            lastCode = known;
            return known;
        }
    }
}
