package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Numbers;

/** The fast paths give what the exact ones give, or give up. */
class PlainReadingsPropertyTest {
    private static final String ODD = "0123456789.-+eEx ,'";

    @ParameterizedTest
    @ValueSource(longs = {1, 20261125, 987654321})
    void numbersAreThoseOfTheJdk(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < 200_000; i++) {
            String text = number(random);
            byte[] bytes = ("x" + text + "y").getBytes(StandardCharsets.ISO_8859_1);
            double fast = PlainReadings.Decimals.read(bytes, 1, bytes.length - 1);
            double exact = Numbers.parse(text).orElse(Double.NaN);
            assertThat(Double.doubleToLongBits(fast))
                    .as("seed %d, text %s", seed, text)
                    .isEqualTo(Double.doubleToLongBits(exact));
        }
    }

    private static String number(SplittableRandom random) {
        switch (random.nextInt(6)) {
            case 0:
                return DecimalText.of(random.nextDouble(-1e6, 1e6));
            case 1:
                return String.format(Locale.ROOT, "%." + random.nextInt(12) + "f", random.nextDouble(-1000, 1000));
            case 2:
                return Long.toString(random.nextLong());
            case 3:
                return Double.toString(Double.longBitsToDouble(random.nextLong()))
                        .replace("NaN", "1e400");
            case 4:
                return "0." + "0".repeat(random.nextInt(25)) + random.nextInt(1000);
            default:
                StringBuilder odd = new StringBuilder();
                for (int i = random.nextInt(6); i >= 0; i--) {
                    odd.append(ODD.charAt(random.nextInt(ODD.length())));
                }
                return odd.toString();
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {2, 20261125, 55})
    void timesAreThoseOfTheJdk(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        PlainReadings.Times times = new PlainReadings.Times();
        for (int i = 0; i < 100_000; i++) {
            String text = time(random);
            byte[] bytes = ("x" + text + "y").getBytes(StandardCharsets.ISO_8859_1);
            boolean read = times.read(bytes, 1, bytes.length - 1);
            Optional<OffsetDateTime> exact = jdk(text);
            assertThat(read).as("seed %d, text %s", seed, text).isEqualTo(exact.isPresent());
            if (read) {
                assertThat(times.millis())
                        .as("seed %d, text %s", seed, text)
                        .isEqualTo(exact.orElseThrow().toInstant().toEpochMilli());
                assertThat(times.offsetSeconds())
                        .as("seed %d, text %s", seed, text)
                        .isEqualTo(exact.orElseThrow().getOffset().getTotalSeconds());
            }
        }
    }

    private static Optional<OffsetDateTime> jdk(String text) {
        try {
            // Years that no laboratory writes are refused.
            return Optional.of(OffsetDateTime.parse(text))
                    .filter(time -> time.getYear() >= CsvFile.FIRST_YEAR && time.getYear() <= CsvFile.LAST_YEAR);
        } catch (DateTimeParseException notTime) {
            return Optional.empty();
        }
    }

    private static String time(SplittableRandom random) {
        OffsetDateTime at = OffsetDateTime.of(
                random.nextInt(1890, 2110),
                random.nextInt(1, 13),
                random.nextInt(1, 29),
                random.nextInt(24),
                random.nextInt(60),
                random.nextInt(4) == 0 ? 0 : random.nextInt(60),
                random.nextInt(3) == 0
                        ? 0
                        : random.nextInt(3) == 0 ? random.nextInt(1_000_000_000) : random.nextInt(1000) * 1_000_000,
                ZoneOffset.ofTotalSeconds(random.nextInt(-72, 73) * 900));
        String text = random.nextBoolean() ? at.toString() : DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(at);
        if (random.nextInt(3) > 0) {
            return text;
        }
        // One wrong or odd character, among them days and hours that do not exist.
        int place = random.nextInt(text.length());
        char other = "0123456789:-TZ+. tz".charAt(random.nextInt(19));
        return text.substring(0, place) + other + text.substring(place + 1);
    }

    @ParameterizedTest
    @ValueSource(longs = {3, 20261125, 4711})
    void plainFilesReadAsTheCarefulWayReadsThem(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        int plain = 0;
        for (int i = 0; i < 3000; i++) {
            String text = file(random);
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            Optional<Readings> fast = PlainReadings.parse(bytes);
            // A quoted header is what the careful way alone can read; it changes nothing else.
            ReadingsFile careful = ReadingsFile.parse(
                    "r.csv", "", ("\"position\"" + text.substring(8)).getBytes(StandardCharsets.UTF_8));
            ReadingsFile whole = ReadingsFile.parse("r.csv", "", bytes);
            assertThat(whole.problems()).as("seed %d, file %s", seed, text).isEqualTo(careful.problems());
            assertThat(whole.readings().isPresent())
                    .isEqualTo(careful.readings().isPresent());
            if (careful.readings().isPresent()) {
                assertThat(Days.same(
                                whole.readings().orElseThrow(),
                                careful.readings().get()))
                        .as("seed %d, file %s", seed, text)
                        .isTrue();
            }
            plain += fast.isPresent() ? 1 : 0;
        }
        assertThat(plain).as("files read the fast way, seed %d", seed).isBetween(300, 2900);
    }

    private static String file(SplittableRandom random) {
        List<String> cells =
                List.of("position", "role", "identity", "channel", "quantity", "value", "unit", "at", "dilution");
        StringBuilder text = new StringBuilder(String.join(",", cells)).append('\n');
        int rows = random.nextInt(1, 12);
        for (int i = 1; i <= rows; i++) {
            String[] row = {
                Integer.toString(i),
                "sample",
                "L-" + i,
                "1",
                "potential",
                number(random).replace(",", ""),
                "mV",
                "2026-11-25T08:00:" + (10 + i) + "+01:00",
                random.nextBoolean() ? "" : "2.5"
            };
            if (random.nextInt(60) == 0) {
                int at = random.nextInt(row.length);
                String[] odd = {"", "\"" + row[at] + "\"", "ö", "x", "\"a,b\"", "1,5", "\"two\nlines\"", " 1"};
                row[at] = odd[random.nextInt(odd.length)];
            } else {
                row[5] = random.nextInt(40) == 0
                        ? row[5]
                        : DecimalText.of(Math.rint(random.nextDouble(-2000, 2000)) / 10);
            }
            text.append(String.join(",", row));
            boolean last = i == rows;
            text.append(last && random.nextInt(3) == 0 ? "" : random.nextInt(20) == 0 ? "\r\n" : "\n");
            if (random.nextInt(80) == 0) {
                text.append('\n');
            }
        }
        return text.toString();
    }
}
