package org.tenmesh.store.judged;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;

/** What was found beside what is allowed of it, kept for each stretch of a cause. */
final class Measures {
    private Measures() {}

    static void copy(Connection connection, int day, List<Cause> causes) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.measure (day, cause, stretch, ord, kind, analyte, identity, position, found, low, high, unit)")) {
            for (int cause = 0; cause < causes.size(); cause++) {
                List<Stretch> stretches = causes.get(cause).stretches();
                for (int stretch = 0; stretch < stretches.size(); stretch++) {
                    int ord = 0;
                    for (Measure one : stretches.get(stretch).measures()) {
                        rows.row(12)
                                .integer(day)
                                .integer(cause)
                                .integer(stretch)
                                .integer(ord++)
                                .text(one.kind().word())
                                .text(one.analyte())
                                .text(one.identity())
                                .integer(one.position())
                                .number(one.found())
                                .number(one.low())
                                .number(one.high())
                                .text(one.unit());
                    }
                }
            }
            rows.end();
        }
    }

    /** By the places of cause and stretch, each in its order; a kind that a newer program kept is passed over. */
    static Map<List<Integer>, List<Measure>> of(Connection connection, int day) throws SQLException {
        Map<List<Integer>, List<Measure>> measures = new HashMap<>();
        CopiedRows.Names names = new CopiedRows.Names();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select cause, stretch, kind, analyte, identity, position, found, low, high, unit from judgement.measure"
                        + " where day = " + day + " order by cause, stretch, ord")) {
            while (rows.next()) {
                List<Integer> place = List.of(rows.integer(), rows.integer());
                Optional<Measure.Kind> kind = Measure.Kind.of(rows.text(names));
                String analyte = rows.text(names);
                String identity = rows.text(names);
                int position = rows.integer();
                double found = rows.number();
                OptionalDouble low = rows.numberOrNone();
                OptionalDouble high = rows.numberOrNone();
                String unit = rows.text(names);
                kind.ifPresent(known -> measures.computeIfAbsent(place, first -> new ArrayList<>())
                        .add(new Measure(known, analyte, identity, position, found, low, high, unit)));
            }
        }
        return measures;
    }
}
