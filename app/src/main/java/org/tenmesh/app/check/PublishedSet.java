package org.tenmesh.app.check;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.exchange.csv.Tables;

/** The rows of one published data set. */
record PublishedSet(List<Tables.Row> rows) {

    /** The rows of a file that belong to the set, named in the file's first column. */
    static PublishedSet of(String file, String set) {
        Tables.Table table = Shipped.table("data/" + file);
        String first = table.columns().get(0);
        List<Tables.Row> rows =
                table.rows().stream().filter(row -> row.text(first).equals(set)).toList();
        if (rows.isEmpty()) {
            throw new IllegalArgumentException("no data set " + set + " in " + file);
        }
        return new PublishedSet(rows);
    }

    /** A column of numbers. */
    double[] column(String name) {
        return rows.stream().mapToDouble(row -> row.number(name)).toArray();
    }

    /** The numbers of a column by what another column holds, in the order of the file. */
    double[][] groups(String by, String name) {
        Map<String, List<Double>> groups = new LinkedHashMap<>();
        for (Tables.Row row : rows) {
            groups.computeIfAbsent(row.text(by), group -> new ArrayList<>()).add(row.number(name));
        }
        return groups.values().stream()
                .map(values -> values.stream().mapToDouble(Double::doubleValue).toArray())
                .toArray(double[][]::new);
    }
}
