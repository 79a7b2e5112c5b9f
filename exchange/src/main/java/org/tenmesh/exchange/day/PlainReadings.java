package org.tenmesh.exchange.day;

import java.nio.charset.StandardCharsets;
import java.time.OffsetDateTime;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.TextFile;

/**
 * Readings from plain bytes: ASCII, no quotes, no blank lines, only known columns, no fault. Gives up at the first byte
 * that is not so; it never judges and never tells a problem.
 */
final class PlainReadings {
    private static final int POSITION = 0;
    private static final int ROLE = 1;
    private static final int IDENTITY = 2;
    private static final int CHANNEL = 3;
    private static final int QUANTITY = 4;
    private static final int VALUE = 5;
    private static final int UNIT = 6;
    private static final int AT = 7;
    private static final int DILUTION = 8;

    private final byte[] b;
    private int at;
    private final int[] start = new int[9];
    private final int[] end = new int[9];
    private final Words identities = new Words(10);
    private final Words words = new Words(8);
    private final Times times = new Times();

    private PlainReadings(byte[] bytes) {
        b = bytes;
        at = TextFile.startOfText(bytes);
    }

    /** The readings, or empty when the file is anything but plain and right. */
    static Optional<Readings> parse(byte[] bytes) {
        return new PlainReadings(bytes).rows();
    }

    private Optional<Readings> rows() {
        int lineEnd = at;
        while (lineEnd < b.length && b[lineEnd] != '\n') {
            lineEnd++;
        }
        if (lineEnd == b.length) {
            return Optional.empty();
        }
        int textEnd = lineEnd > at && b[lineEnd - 1] == '\r' ? lineEnd - 1 : lineEnd;
        List<String> header = List.of(new String(b, at, textEnd - at, StandardCharsets.UTF_8).split(",", -1));
        int fields = header.size();
        int[] slot = new int[fields];
        for (int i = 0; i < fields; i++) {
            slot[i] = ReadingsColumns.ALL.indexOf(header.get(i));
            if (slot[i] < 0 || header.indexOf(header.get(i)) != i) {
                return Optional.empty();
            }
        }
        if (!header.containsAll(ReadingsColumns.REQUIRED)) {
            return Optional.empty();
        }
        at = lineEnd + 1;
        Readings.Builder builder = Readings.builder();
        while (at < b.length) {
            if (!split(slot) || !row(builder)) {
                return Optional.empty();
            }
        }
        return Optional.of(builder.build());
    }

    /** Finds the fields of one line and moves behind it; false when the line is not plain. */
    private boolean split(int[] slot) {
        byte[] bytes = b;
        int length = bytes.length;
        int i = at;
        int field = 0;
        start[slot[0]] = i;
        while (i < length) {
            byte c = bytes[i];
            if (c == ',') {
                end[slot[field]] = i;
                if (++field == slot.length) {
                    return false;
                }
                start[slot[field]] = i + 1;
            } else if (c == '\n') {
                end[slot[field]] = i > at && bytes[i - 1] == '\r' ? i - 1 : i;
                at = i + 1;
                return field == slot.length - 1;
            } else if (c < ' ' && c != '\r' || c == '"' || c == '\r' && (i + 1 == length || bytes[i + 1] != '\n')) {
                // Bytes of letters beyond ASCII are negative and end up here too.
                return false;
            }
            i++;
        }
        end[slot[field]] = i;
        at = i;
        return field == slot.length - 1;
    }

    private boolean row(Readings.Builder builder) {
        int position = whole(start[POSITION], end[POSITION]);
        if (position < 1 || position > ReadingsColumns.MOST_POSITIONS) {
            return false;
        }
        int role = roleOf(start[ROLE], end[ROLE]);
        int unit = unitOf(start[UNIT], end[UNIT]);
        if (role < 0
                || unit < 0
                || end[IDENTITY] == start[IDENTITY]
                || end[QUANTITY] == start[QUANTITY]
                || end[IDENTITY] - start[IDENTITY] > 200
                || !times.read(b, start[AT], end[AT])) {
            return false;
        }
        double value = Decimals.read(b, start[VALUE], end[VALUE]);
        double dilution = end[DILUTION] == start[DILUTION] ? 1 : Decimals.read(b, start[DILUTION], end[DILUTION]);
        // Not-a-number compares false and gives up as well.
        if (!(Math.abs(value) <= CsvFile.LARGEST) || !(dilution >= 1 && dilution <= CsvFile.LARGEST)) {
            return false;
        }
        builder.add(
                position,
                ROLES[role],
                identities.of(b, start[IDENTITY], end[IDENTITY]),
                end[CHANNEL] == start[CHANNEL] ? "" : words.of(b, start[CHANNEL], end[CHANNEL]),
                words.of(b, start[QUANTITY], end[QUANTITY]),
                value,
                UNITS[unit],
                times.millis(),
                times.offsetSeconds(),
                dilution);
        return true;
    }

    private int whole(int from, int to) {
        if (to == from || to - from > 7) {
            return -1;
        }
        int value = 0;
        for (int i = from; i < to; i++) {
            int digit = b[i] - '0';
            if (digit < 0 || digit > 9) {
                return -1;
            }
            value = value * 10 + digit;
        }
        return value;
    }

    private static final Role[] ROLES = Role.values();
    private static final Unit[] UNITS = Unit.values();
    private static final byte[][] ROLE_WORDS = new byte[ROLES.length][];
    private static final byte[][] UNIT_CODES = new byte[UNITS.length][];

    static {
        for (int i = 0; i < ROLES.length; i++) {
            ROLE_WORDS[i] = ROLES[i].word().getBytes(StandardCharsets.US_ASCII);
        }
        for (int i = 0; i < UNITS.length; i++) {
            UNIT_CODES[i] = UNITS[i].ucum().getBytes(StandardCharsets.US_ASCII);
        }
    }

    private int lastRole;
    private int lastUnit;

    private int roleOf(int from, int to) {
        if (same(ROLE_WORDS[lastRole], from, to)) {
            return lastRole;
        }
        for (int i = 0; i < ROLE_WORDS.length; i++) {
            if (same(ROLE_WORDS[i], from, to)) {
                lastRole = i;
                return i;
            }
        }
        return -1;
    }

    private int unitOf(int from, int to) {
        if (same(UNIT_CODES[lastUnit], from, to)) {
            return lastUnit;
        }
        for (int i = 0; i < UNIT_CODES.length; i++) {
            if (same(UNIT_CODES[i], from, to)) {
                lastUnit = i;
                return i;
            }
        }
        return -1;
    }

    private boolean same(byte[] word, int from, int to) {
        if (word.length != to - from) {
            return false;
        }
        for (int i = 0; i < word.length; i++) {
            if (word[i] != b[from + i]) {
                return false;
            }
        }
        return true;
    }

    /** Texts by their bytes, so that a word that comes a thousand times becomes one String. */
    static final class Words {
        private String[] texts;
        private byte[][] keys;
        private int size;
        private int last = -1;

        Words(int bits) {
            texts = new String[1 << bits];
            keys = new byte[1 << bits][];
        }

        String of(byte[] b, int from, int to) {
            if (last >= 0 && same(keys[last], b, from, to)) {
                return texts[last];
            }
            int hash = 1;
            for (int i = from; i < to; i++) {
                hash = 31 * hash + b[i];
            }
            int mask = texts.length - 1;
            int place = (hash ^ (hash >>> 15)) & mask;
            while (keys[place] != null) {
                if (same(keys[place], b, from, to)) {
                    last = place;
                    return texts[place];
                }
                place = (place + 1) & mask;
            }
            keys[place] = java.util.Arrays.copyOfRange(b, from, to);
            String text = new String(b, from, to - from, StandardCharsets.US_ASCII);
            texts[place] = text;
            last = place;
            if (++size * 2 > texts.length) {
                grow();
            }
            return text;
        }

        private void grow() {
            byte[][] oldKeys = keys;
            String[] oldTexts = texts;
            keys = new byte[oldKeys.length * 2][];
            texts = new String[oldKeys.length * 2];
            size = 0;
            last = -1;
            int mask = texts.length - 1;
            for (int i = 0; i < oldKeys.length; i++) {
                if (oldKeys[i] != null) {
                    int hash = 1;
                    for (byte c : oldKeys[i]) {
                        hash = 31 * hash + c;
                    }
                    int place = (hash ^ (hash >>> 15)) & mask;
                    while (keys[place] != null) {
                        place = (place + 1) & mask;
                    }
                    keys[place] = oldKeys[i];
                    texts[place] = oldTexts[i];
                    size++;
                }
            }
        }

        private static boolean same(byte[] word, byte[] b, int from, int to) {
            if (word.length != to - from) {
                return false;
            }
            for (int i = 0; i < word.length; i++) {
                if (word[i] != b[from + i]) {
                    return false;
                }
            }
            return true;
        }
    }

    /** ISO 8601 times with offset; the usual spellings at once, all others by the JDK. */
    static final class Times {
        private long millis;
        private int offsetSeconds;
        private long lastDate = -1;
        private long lastDayMillis;

        long millis() {
            return millis;
        }

        int offsetSeconds() {
            return offsetSeconds;
        }

        /** Reads one time; false when it is none. */
        boolean read(byte[] b, int from, int to) {
            return usual(b, from, to) || anyOther(b, from, to);
        }

        // yyyy-MM-ddTHH:mm:ss[.f to .fff](Z|+HH:mm|-HH:mm)
        private boolean usual(byte[] b, int from, int to) {
            int length = to - from;
            if (length < 20
                    || length > 29
                    || b[from + 4] != '-'
                    || b[from + 7] != '-'
                    || b[from + 10] != 'T'
                    || b[from + 13] != ':'
                    || b[from + 16] != ':') {
                return false;
            }
            int year = two(b, from) * 100 + two(b, from + 2);
            int month = two(b, from + 5);
            int day = two(b, from + 8);
            int hour = two(b, from + 11);
            int minute = two(b, from + 14);
            int second = two(b, from + 17);
            if (year < CsvFile.FIRST_YEAR
                    || year > CsvFile.LAST_YEAR
                    || month < 1
                    || month > 12
                    || day < 1
                    || day > 31
                    || hour < 0
                    || hour > 23
                    || minute < 0
                    || minute > 59
                    || second < 0
                    || second > 59) {
                return false;
            }
            int i = from + 19;
            int fraction = 0;
            if (b[i] == '.') {
                i++;
                int scale = 100;
                while (i < to && b[i] >= '0' && b[i] <= '9') {
                    if (scale == 0) {
                        return false;
                    }
                    fraction += (b[i] - '0') * scale;
                    scale /= 10;
                    i++;
                }
                if (scale == 100) {
                    return false;
                }
            }
            int offset;
            if (i == to - 1 && b[i] == 'Z') {
                offset = 0;
            } else if (i == to - 6 && (b[i] == '+' || b[i] == '-') && b[i + 3] == ':') {
                int hours = two(b, i + 1);
                int minutes = two(b, i + 4);
                if (hours < 0 || hours > 17 || minutes < 0 || minutes > 59) {
                    return false;
                }
                offset = (hours * 60 + minutes) * 60;
                offset = b[i] == '-' ? -offset : offset;
            } else {
                return false;
            }
            long date = (year * 100L + month) * 100 + day;
            if (date != lastDate) {
                if (day > 28 && day > java.time.YearMonth.of(year, month).lengthOfMonth()) {
                    return false;
                }
                lastDayMillis = java.time.LocalDate.of(year, month, day).toEpochDay() * 86_400_000L;
                lastDate = date;
            }
            millis = lastDayMillis + ((hour * 60 + minute) * 60 + second - offset) * 1000L + fraction;
            offsetSeconds = offset;
            return true;
        }

        private boolean anyOther(byte[] b, int from, int to) {
            try {
                OffsetDateTime time = OffsetDateTime.parse(new String(b, from, to - from, StandardCharsets.ISO_8859_1));
                if (time.getYear() < CsvFile.FIRST_YEAR || time.getYear() > CsvFile.LAST_YEAR) {
                    return false;
                }
                millis = time.toInstant().toEpochMilli();
                offsetSeconds = time.getOffset().getTotalSeconds();
                return true;
            } catch (DateTimeParseException notTime) {
                return false;
            }
        }

        /** Two digits as a number, less than 0 when they are none. */
        private static int two(byte[] b, int i) {
            int tens = b[i] - '0';
            int ones = b[i + 1] - '0';
            return tens < 0 || tens > 9 || ones < 0 || ones > 9 ? -10_000 : tens * 10 + ones;
        }
    }

    /** Decimal numbers from bytes. */
    static final class Decimals {
        private static final double[] POWERS = {
            1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
            1e19, 1e20, 1e21, 1e22
        };

        private Decimals() {}

        /**
         * The number, or NaN when it is none. Up to 15 digits and 22 places are exact in one division (both numbers are whole
         * and below 2^53); anything longer goes through the JDK.
         */
        static double read(byte[] b, int from, int to) {
            int i = from;
            boolean negative = false;
            if (i < to && (b[i] == '-' || b[i] == '+')) {
                negative = b[i] == '-';
                i++;
            }
            long digits = 0;
            int count = 0;
            int places = 0;
            boolean point = false;
            for (; i < to; i++) {
                int digit = b[i] - '0';
                if (digit >= 0 && digit <= 9) {
                    digits = digits * 10 + digit;
                    if (++count > 15) {
                        return exactly(b, from, to);
                    }
                    places += point ? 1 : 0;
                } else if (b[i] == '.' && !point) {
                    point = true;
                } else {
                    return exactly(b, from, to);
                }
            }
            if (count == 0) {
                return Double.NaN;
            }
            double value = digits / POWERS[places];
            return negative ? -value : value;
        }

        private static double exactly(byte[] b, int from, int to) {
            OptionalDouble value = Numbers.parse(new String(b, from, to - from, StandardCharsets.ISO_8859_1));
            return value.isPresent() ? value.getAsDouble() : Double.NaN;
        }
    }
}
