package org.tenmesh.store.judged;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;

/** Blanks and low check solutions of kept judgements. None of them is hidden. */
final class LowReadings {
    private LowReadings() {}

    static void copy(Connection connection, int day, List<LowReading> readings) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.low_reading (day, ord, method, analyte, instrument, read_on, run, position, known, value)")) {
            int ord = 0;
            for (LowReading one : readings) {
                rows.row(10)
                        .integer(day)
                        .integer(ord++)
                        .text(one.method())
                        .text(one.analyte())
                        .text(one.instrument())
                        .date(Optional.of(one.day()))
                        .text(one.run())
                        .integer(one.position())
                        .number(one.known())
                        .number(one.value());
            }
            rows.end();
        }
    }

    static List<LowReading> of(Connection connection, int day) throws SQLException {
        List<LowReading> readings = new ArrayList<>();
        CopiedRows.Names names = new CopiedRows.Names();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select method, analyte, instrument, read_on::text, run, position, known, value"
                        + " from judgement.low_reading where day = " + day + " order by ord")) {
            while (rows.next()) {
                readings.add(new LowReading(
                        rows.text(names),
                        rows.text(names),
                        rows.text(names),
                        LocalDate.parse(rows.text(names)),
                        rows.text(names),
                        rows.integer(),
                        rows.numberOrNone(),
                        rows.number()));
            }
        }
        return readings;
    }

    /** Of all days whose judgement is kept, those of one method, oldest first. */
    static List<LowReading> of(Jdbi app, String method) {
        return app.withHandle(handle -> handle.createQuery("""
                        select method, analyte, instrument, read_on, run, position, known, value from judgement.low_reading
                        where method = :method order by read_on, day, ord
                        """)
                .bind("method", method)
                .map((row, context) -> {
                    double content = row.getDouble("known");
                    OptionalDouble known = row.wasNull() ? OptionalDouble.empty() : OptionalDouble.of(content);
                    return new LowReading(
                            row.getString("method"),
                            row.getString("analyte"),
                            row.getString("instrument"),
                            row.getObject("read_on", LocalDate.class),
                            row.getString("run"),
                            row.getInt("position"),
                            known,
                            row.getDouble("value"));
                })
                .list());
    }
}
