package org.tenmesh.store.judged;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;

/** The differences between groups of a kept judgement, in their order. */
final class KeptDifferences {
    private KeptDifferences() {}

    static void copy(Connection connection, int day, List<GroupDifference> differences) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.difference (day, ord, kind, group_name, method, analyte, size, low, high, unit, soils, log10_chance,"
                        + " told)")) {
            int ord = 0;
            for (GroupDifference one : differences) {
                rows.row(13)
                        .integer(day)
                        .integer(ord++)
                        .text(one.kind())
                        .text(one.group())
                        .text(one.method())
                        .text(one.analyte())
                        .number(one.size())
                        .number(one.low())
                        .number(one.high())
                        .text(one.unit())
                        .integer(one.soils())
                        .number(one.log10Chance())
                        .bool(one.told());
            }
            rows.end();
        }
    }

    static List<GroupDifference> of(Connection connection, int day) throws SQLException {
        List<GroupDifference> differences = new ArrayList<>();
        CopiedRows.Names names = new CopiedRows.Names();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select kind, group_name, method, analyte, size, low, high, unit, soils, log10_chance, told"
                        + " from judgement.difference where day = " + day + " order by ord")) {
            while (rows.next()) {
                differences.add(new GroupDifference(
                        rows.text(names),
                        rows.text(names),
                        rows.text(names),
                        rows.text(names),
                        rows.number(),
                        rows.number(),
                        rows.number(),
                        rows.text(names),
                        rows.integer(),
                        rows.number(),
                        rows.bool()));
            }
        }
        return differences;
    }
}
