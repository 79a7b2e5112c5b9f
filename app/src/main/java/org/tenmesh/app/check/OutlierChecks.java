package org.tenmesh.app.check;

import java.util.List;
import org.tenmesh.core.statistics.Cochran;
import org.tenmesh.core.statistics.Dixon;
import org.tenmesh.core.statistics.Grubbs;
import org.tenmesh.core.statistics.Spread;
import org.tenmesh.core.statistics.Suspect;

/** Grubbs, Cochran and Dixon against printed tables and examples. */
final class OutlierChecks {
    private static final String AREA = "Outliers";
    private static final double[] MASS_SPECTROMETER = {199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57};
    private static final double[] BRIEF_69 = {4.9, 5.1, 5.6, 5.0, 4.8, 4.8, 4.6};
    // Every count that a laboratory meets, then a few: each value is a double integral.
    private static final List<Integer> DIXON_COUNTS = List.of(3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 20, 30);

    private OutlierChecks() {}

    static void onto(Sheet sheet) {
        grubbs(sheet);
        cochran(sheet);
        dixon(sheet);
    }

    private static void grubbs(Sheet sheet) {
        Sheet.From from = sheet.read(AREA, Work.GRUBBS_TABLE, "");
        for (String[] row : Rows.of("grubbs.csv").rows()) {
            int n = Integer.parseInt(row[0]);
            grubbs(from, n, row[2], 0.05, "5");
            grubbs(from, n, row[3], 0.01, "1");
        }
        Sheet.From example = sheet.read(AREA, Work.NIST_HANDBOOK, "");
        example.number(
                "grubbs-uranium",
                "G of the largest of eight mass spectrometer readings",
                "2.4687",
                new Tolerance(1e-4, "the print cuts off where it should round"),
                () -> Grubbs.highest(MASS_SPECTROMETER));
        example.number(
                "grubbs-uranium-critical",
                "critical value for a named end, 5 %",
                "2.032",
                Tolerance.lastDigit("2.032"),
                () -> Grubbs.critical(8, 0.05, Suspect.NAMED_END));
        example.number(
                "grubbs-uranium-either",
                "critical value for either end, 5 %",
                "2.1266",
                Tolerance.lastDigit("2.1266"),
                () -> Grubbs.critical(8, 0.05, Suspect.EITHER_END));
        Sheet.From brief = sheet.from(AREA, Work.AMC_OUTLIERS, "seven results, data read", Standing.COMPUTED);
        brief.number(
                "grubbs-brief-sd",
                "their standard deviation",
                "0.319970",
                Tolerance.lastDigit("0.319970"),
                () -> Spread.of(BRIEF_69).sd());
        brief.number(
                "grubbs-brief", "G of 5.6", "1.96447", Tolerance.lastDigit("1.96447"), () -> Grubbs.highest(BRIEF_69));
        brief.number(
                "dixon-brief",
                "Dixon's r10 of 5.6",
                "0.500",
                Tolerance.lastDigit("0.500"),
                () -> Dixon.Ratio.R10.highest(BRIEF_69));
    }

    private static void grubbs(Sheet.From from, int n, String printed, double alpha, String pct) {
        from.number(
                "grubbs-" + n + "-" + pct,
                "Grubbs' critical value, " + n + " values, either end, " + pct + " %",
                printed,
                Tolerance.oneUnit(printed, "the table was calculated by hand"),
                () -> Grubbs.critical(n, alpha, Suspect.EITHER_END));
    }

    private static void cochran(Sheet sheet) {
        Sheet.From from = sheet.read(AREA, Work.COCHRAN_TABLE, "");
        for (String[] row : Rows.of("cochran.csv").rows()) {
            int p = Integer.parseInt(row[0]);
            for (int replicates = 2; replicates <= 5; replicates++) {
                int n = replicates;
                String printed = row[n - 1];
                from.number(
                        "cochran-" + p + "-" + n,
                        "Cochran's critical value, " + p + " groups of " + n + ", 5 %",
                        printed,
                        new Tolerance(
                                0.00025,
                                "the table, calculated by hand, is off by up to two units of its last decimal"),
                        () -> Cochran.critical(p, n, 0.05));
            }
        }
    }

    private static void dixon(Sheet sheet) {
        for (String[] row : Rows.of("dixon.csv").rows()) {
            int n = Integer.parseInt(row[0]);
            if (DIXON_COUNTS.contains(n)) {
                Dixon.Ratio ratio = Dixon.Ratio.customary(n);
                sheet.read(AREA, Work.DIXON_TABLE, ratio.toString().toLowerCase(java.util.Locale.ROOT))
                        .number(
                                "dixon-" + n,
                                "Dixon's critical value, " + n + " values, either end, 5 %",
                                row[2],
                                new Tolerance(0.003, "the table, interpolated by hand in 1951, is off by up to 0.0027"),
                                () -> ratio.critical(n, 0.05, Suspect.EITHER_END));
            }
        }
    }
}
