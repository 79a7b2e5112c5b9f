package org.tenmesh.exchange.readers;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.tenmesh.core.custody.Charge;

/**
 * The record of a temperature recorder as text: a line for each reading, time; sensor; °C, with semicolons, tabs or commas between. Empty lines and
 * those that begin with # are passed over, and a first line of names.
 */
public final class TemperatureLines {
    /** What a line looks like. */
    public static final String EXPECTED =
            "time like 2026-11-25 08:30 (the laboratory's clock) or with an offset; sensor; °C";

    private static final Pattern NUMBER = Pattern.compile("-?\\d{1,6}(\\.\\d{1,6})?");
    private static final Pattern WITH_OFFSET = Pattern.compile(".*T.*(Z|[+-]\\d{2}:?\\d{2})");

    private TemperatureLines() {}

    /**
     * Every reading, in the order of the lines.
     *
     * @param zone of times without an offset
     * @throws IllegalArgumentException for the first line that cannot be read; the message says which, what was found and what was expected
     */
    public static List<Charge.Point> read(String text, ZoneId zone) {
        List<Charge.Point> points = new ArrayList<>();
        int number = 0;
        for (String line : text.split("\\R")) {
            number++;
            if (line.isBlank() || line.startsWith("#") || number == 1 && names(line)) {
                continue;
            }
            try {
                points.add(point(line.split(line.contains("\t") ? "\t" : line.contains(";") ? ";" : ",", -1), zone));
            } catch (IllegalArgumentException | DateTimeException wrong) {
                throw new IllegalArgumentException(
                        "Line " + number + ", \"" + line.strip() + "\": " + wrong.getMessage() + ". Expected: "
                                + EXPECTED,
                        wrong);
            }
        }
        return points;
    }

    private static boolean names(String line) {
        return line.toLowerCase(Locale.ROOT).contains("sensor") && line.chars().noneMatch(Character::isDigit);
    }

    private static Charge.Point point(String[] fields, ZoneId zone) {
        if (fields.length != 3) {
            throw new IllegalArgumentException("there are " + fields.length + " fields");
        }
        String sensor = fields[1].strip();
        String celsius = fields[2].strip();
        if (sensor.isEmpty()) {
            throw new IllegalArgumentException("there is no sensor");
        }
        if (!NUMBER.matcher(celsius).matches()) {
            throw new IllegalArgumentException(
                    "The temperature is a number with a decimal point, found \"" + celsius + "\"");
        }
        return new Charge.Point(moment(fields[0], zone), sensor, Double.parseDouble(celsius));
    }

    /**
     * A date and time, with an offset or as the clock of the laboratory shows it.
     *
     * @throws java.time.format.DateTimeParseException where it is none
     */
    public static Instant moment(String text, ZoneId zone) {
        String iso = text.strip().replace(' ', 'T');
        return WITH_OFFSET.matcher(iso).matches()
                ? OffsetDateTime.parse(iso).toInstant()
                : LocalDateTime.parse(iso).atZone(zone).toInstant();
    }
}
