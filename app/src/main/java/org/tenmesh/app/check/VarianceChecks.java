package org.tenmesh.app.check;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.statistics.OneWay;

/** Analysis of variance on NIST's sets; those of 18,009 values are tests of the project, not shipped. */
final class VarianceChecks {
    private static final String AREA = "Statistics";
    // What a double still holds of each set; the digits lost are lost when the decimal text is read.
    private static final Map<String, Double> DIGITS = Map.of(
            "SiRstv", 12.5, "AtmWtAg", 9.5, "SmLs01", 14.0, "SmLs02", 14.0, "SmLs04", 9.3, "SmLs05", 9.3, "SmLs07", 3.3,
            "SmLs08", 3.3);

    private VarianceChecks() {}

    static void onto(Sheet sheet) {
        Rows data = Rows.of("nist-anova-data.csv");
        for (String[] row : Rows.of("nist-anova-certified.csv").rows()) {
            String set = row[0];
            Double digits = DIGITS.get(set);
            if (digits == null) {
                continue;
            }
            OneWay found = OneWay.of(groups(data, set));
            Sheet.From from = sheet.read(AREA, Work.NIST_ANOVA, "set " + set);
            String id = "nist-" + set.toLowerCase(Locale.ROOT) + "-";
            String why = "what doubles hold of this set";
            from.number(
                    id + "between",
                    set + " sum of squares between",
                    row[4],
                    Tolerance.digits(row[4], digits, why),
                    found::betweenSumOfSquares);
            from.number(id + "f", set + " F", row[6], Tolerance.digits(row[6], digits, why), found::f);
            from.number(
                    id + "within",
                    set + " sum of squares within",
                    row[8],
                    Tolerance.digits(row[8], digits, why),
                    found::withinSumOfSquares);
            from.number(id + "r2", set + " R2", row[10], Tolerance.digits(row[10], digits, why), found::rSquared);
            from.number(
                    id + "sd",
                    set + " residual standard deviation",
                    row[11],
                    Tolerance.digits(row[11], digits, why),
                    found::residualSd);
        }
    }

    /** The values of each group of a set, in the order of the file. */
    static double[][] groups(Rows rows, String set) {
        Map<String, List<String[]>> byGroup = new LinkedHashMap<>();
        for (String[] row : rows.where(set)) {
            byGroup.computeIfAbsent(row[1], group -> new java.util.ArrayList<>())
                    .add(row);
        }
        return byGroup.values().stream()
                .map(group -> group.stream()
                        .mapToDouble(row -> Double.parseDouble(row[row.length - 1]))
                        .toArray())
                .toArray(double[][]::new);
    }
}
