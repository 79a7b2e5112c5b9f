package org.tenmesh.simulator.exports;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;

/**
 * How an instrument of the invented laboratory writes what it reads. Reading it with its {@link #reader()} gives the same readings
 * back, but for their order within a position.
 */
public enum Export {
    /** Lines of a head of four electrodes, one a vessel. */
    PROBES("ashgrove-probes") {
        @Override
        public List<String> head(Readings readings) {
            return List.of();
        }

        @Override
        public List<String> rows(Readings readings) {
            List<String> rows = new ArrayList<>();
            for (Row row : Row.of(readings)) {
                rows.add(row.at() + " vessel " + row.position() + " probe " + row.channel() + " "
                        + named(row, "buffer") + ": " + row.value("potential") + " mV, " + row.value("temperature")
                        + " C");
            }
            return rows;
        }
    },

    /** A table of a plasma spectrometer, one row a position and one column a line. */
    PLASMA("ashgrove-plasma") {
        @Override
        public List<String> head(Readings readings) {
            return List.of("Place,Vessel,Diluted,Read," + String.join(",", readings.quantities()));
        }

        @Override
        public List<String> rows(Readings readings) {
            return rows(readings, readings.quantities());
        }

        @Override
        public List<String> rows(Readings readings, List<String> quantities) {
            List<String> rows = new ArrayList<>();
            for (Row row : Row.of(readings)) {
                StringBuilder text = new StringBuilder()
                        .append(row.position())
                        .append(',')
                        .append(named(row, "standard"))
                        .append(',')
                        .append(number(row.dilution()))
                        .append(',')
                        .append(row.at());
                quantities.forEach(line -> text.append(',').append(row.value(line)));
                rows.add(text.toString());
            }
            return rows;
        }
    },

    /** The list of a weighing robot, one row a crucible. */
    WEIGHINGS("ashgrove-weighings") {
        @Override
        public List<String> head(Readings readings) {
            return List.of("Place;Crucible;Balance;Empty;Empty at;Dried;Dried at;Ashed;Ashed at");
        }

        @Override
        public List<String> rows(Readings readings) {
            List<String> rows = new ArrayList<>();
            for (Row row : Row.of(readings)) {
                rows.add(row.position() + ";" + named(row, "standard") + ";" + row.channel() + ";"
                        + row.value("tare") + ";" + row.at("tare") + ";"
                        + row.value("dry") + ";" + row.at("dry") + ";"
                        + row.value("ash") + ";" + row.at("ash"));
            }
            return rows;
        }
    };

    private final String reader;

    Export(String reader) {
        this.reader = reader;
    }

    /** Name of its reader. */
    public String readerName() {
        return reader;
    }

    /** Its reader, as text of a reader file. */
    public String reader() {
        String file = reader + ".yaml";
        try (InputStream in = Export.class.getResourceAsStream(file)) {
            if (in == null) {
                throw new IllegalStateException(file + " is not in the program");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException unreadable) {
            throw new UncheckedIOException(file + " of the program cannot be read", unreadable);
        }
    }

    /** Lines that stand above the rows. */
    public abstract List<String> head(Readings readings);

    /** The rows of some readings, in order, without ends of lines. */
    public abstract List<String> rows(Readings readings);

    /**
     * Rows of a part of a run.
     *
     * @param quantities those of the whole run, in the order of its head
     */
    public List<String> rows(Readings readings, List<String> quantities) {
        return rows(readings);
    }

    private static String named(Row row, String standard) {
        String identity = row.identity();
        return switch (row.role()) {
            case STANDARD -> standard + " " + identity;
            case VERIFICATION -> "check " + identity;
            case BLANK -> ("blank " + identity).strip();
            case CONTROL -> "known " + identity;
            case DUPLICATE -> "second " + identity;
            case WASH -> ("wash " + identity).strip();
            case SAMPLE -> identity;
        };
    }

    private static String number(double value) {
        return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
    }

    /** What was read at one position. */
    private record Row(
            int position,
            Role role,
            String identity,
            String channel,
            double dilution,
            Map<String, String> values,
            Map<String, OffsetDateTime> times) {
        static List<Row> of(Readings readings) {
            Map<Integer, Row> rows = new LinkedHashMap<>();
            for (int i = 0; i < readings.size(); i++) {
                int at = i;
                Row row = rows.computeIfAbsent(
                        readings.position(i),
                        position -> new Row(
                                position,
                                readings.role(at),
                                readings.identity(at),
                                readings.channel(at),
                                readings.dilution(at),
                                new LinkedHashMap<>(),
                                new LinkedHashMap<>()));
                row.values.put(readings.quantity(i), number(readings.value(i)));
                row.times.put(readings.quantity(i), readings.at(i));
            }
            return List.copyOf(rows.values());
        }

        OffsetDateTime at() {
            return times.values().iterator().next();
        }

        String value(String quantity) {
            return values.getOrDefault(quantity, "-");
        }

        String at(String quantity) {
            OffsetDateTime at = times.get(quantity);
            return at == null ? "-" : at.toString();
        }
    }
}
