package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;

/**
 * Rows written by our binary COPY mean to PostgreSQL 17.6 what they mean to us: it shows them in its own words, which a
 * second road, the JDBC driver's, carries back.
 */
@Execution(ExecutionMode.SAME_THREAD)
final class CopyRowsPropertyTest {
    private record Row(
            int count,
            OptionalInt maybe,
            int small,
            OptionalDouble number,
            Optional<Boolean> yes,
            Optional<String> text,
            Optional<LocalDate> date,
            Instant at,
            List<String> texts) {}

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 20261125})
    void carriesEveryValueThereAndBack(long seed) throws SQLException {
        SplittableRandom random = new SplittableRandom(seed);
        List<Row> rows = new ArrayList<>();
        for (int i = 0; i < 400; i++) {
            rows.add(row(random));
        }
        try (Connection connection = OpenStore.get().connections().owner();
                Statement statement = connection.createStatement()) {
            statement.execute(
                    "create temp table probe (ord serial, count int, maybe int, small smallint, number float8,"
                            + " yes boolean, text text, date date, at timestamptz, texts text[])");
            connection.setAutoCommit(false);
            try (CopyRows copy =
                    new CopyRows(connection, "probe (count, maybe, small, number, yes, text, date, at, texts)")) {
                for (Row row : rows) {
                    copy.row(9)
                            .integer(row.count())
                            .integer(row.maybe())
                            .small(row.small())
                            .number(row.number())
                            .bool(row.yes())
                            .text(row.text())
                            .date(row.date())
                            .time(row.at())
                            .texts(row.texts());
                }
                copy.end();
            }
            assertThat(ours(connection)).as("seed %d", seed).isEqualTo(rows);
            assertThat(byDriver(statement)).as("seed %d", seed).containsExactlyElementsOf(inWords(rows));
        }
    }

    private static List<Row> ours(Connection connection) throws SQLException {
        List<Row> back = new ArrayList<>();
        try (CopiedRows copied = new CopiedRows(
                connection, "select count, maybe, small, number, yes, text, date, at, texts from probe order by ord")) {
            while (copied.next()) {
                back.add(new Row(
                        copied.integer(),
                        copied.integerOrNone(),
                        copied.small(),
                        copied.numberOrNone(),
                        copied.boolOrNone(),
                        copied.textOrNone(),
                        copied.dateOrNone(),
                        copied.time(),
                        copied.texts()));
            }
        }
        return back;
    }

    private static List<String> byDriver(Statement statement) throws SQLException {
        List<String> back = new ArrayList<>();
        try (ResultSet rows = statement.executeQuery("""
                select concat_ws('|', count, coalesce(maybe::text, '-'), small, coalesce(yes::text, '-'),
                       coalesce(text, '-'), coalesce(to_char(date, 'FMYYYY-MM-DD'), '-'),
                       (extract(epoch from at) * 1000000)::bigint, array_length(texts, 1),
                       array_to_string(texts, '+')) as words, number
                from probe order by ord
                """)) {
            while (rows.next()) {
                double number = rows.getDouble("number");
                String inWords = rows.wasNull() ? "-" : Double.toHexString(number);
                back.add(rows.getString("words") + "|" + inWords);
            }
        }
        return back;
    }

    private static List<String> inWords(List<Row> rows) {
        return rows.stream()
                .map(row -> row.count() + "|"
                        + (row.maybe().isPresent() ? row.maybe().getAsInt() : "-") + "|"
                        + row.small() + "|"
                        + row.yes().map(Object::toString).orElse("-") + "|"
                        + row.text().orElse("-") + "|"
                        + row.date().map(LocalDate::toString).orElse("-") + "|"
                        + (row.at().getEpochSecond() * 1_000_000 + row.at().getNano() / 1000) + "|"
                        + (row.texts().isEmpty() ? "" : row.texts().size() + "|")
                        + String.join("+", row.texts()) + "|"
                        + (row.number().isPresent()
                                ? Double.toHexString(row.number().getAsDouble())
                                : "-"))
                .toList();
    }

    private static Row row(SplittableRandom random) {
        List<String> texts = new ArrayList<>();
        for (int i = random.nextInt(4); i > 0; i--) {
            texts.add(text(random));
        }
        boolean some = random.nextInt(4) > 0;
        return new Row(
                random.nextInt(),
                some ? OptionalInt.of(random.nextInt()) : OptionalInt.empty(),
                random.nextInt(-32_768, 32_768),
                some ? OptionalDouble.of(number(random)) : OptionalDouble.empty(),
                some ? Optional.of(random.nextBoolean()) : Optional.empty(),
                some ? Optional.of(text(random)) : Optional.empty(),
                some ? Optional.of(LocalDate.of(1950, 1, 1).plusDays(random.nextInt(60_000))) : Optional.empty(),
                Instant.ofEpochSecond(
                        random.nextLong(-600_000_000L, 4_000_000_000L), random.nextInt(1_000_000) * 1000L),
                List.copyOf(texts));
    }

    private static double number(SplittableRandom random) {
        return switch (random.nextInt(8)) {
            case 0 -> -0.0;
            case 1 -> Double.MIN_VALUE;
            case 2 -> Double.MAX_VALUE;
            case 3 -> Double.NEGATIVE_INFINITY;
            case 4 -> Double.NaN;
            default -> (random.nextDouble() - 0.5) * Math.pow(10, random.nextInt(-300, 300));
        };
    }

    private static String text(SplittableRandom random) {
        String[] pieces = {"a", "é", "Ω", "\n", "\"", "\\", ",", "{}", "水", "\ud83d\ude00", "|", " "};
        StringBuilder text = new StringBuilder();
        for (int i = random.nextInt(12); i > 0; i--) {
            text.append(pieces[random.nextInt(pieces.length)]);
        }
        return text.toString();
    }
}
