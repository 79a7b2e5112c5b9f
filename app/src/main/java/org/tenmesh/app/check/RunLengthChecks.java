package org.tenmesh.app.check;

import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.core.charts.Rule;
import org.tenmesh.core.charts.RuleSet;
import org.tenmesh.core.charts.RunLength;

/** How long a control chart runs to its signal. */
final class RunLengthChecks {
    private static final String AREA = "Control charts";

    private RunLengthChecks() {}

    static void onto(Sheet sheet) {
        List<Rule> beyond3 = RuleSet.beyond(1, 1, 3);
        for (String[] row : Rows.of("run-rules.csv").rows()) {
            double shift = Double.parseDouble(row[0]);
            rules(sheet, "C1", row[1], shift, beyond3);
            rules(sheet, "C12", row[2], shift, with(beyond3, RuleSet.beyond(2, 3, 2)));
            rules(sheet, "C13", row[3], shift, with(beyond3, RuleSet.beyond(4, 5, 1)));
            rules(sheet, "C14", row[4], shift, with(beyond3, RuleSet.beyond(8, 8, 0)));
        }
        for (String[] row : Rows.of("small-shifts.csv").rows()) {
            smallShift(sheet, row);
        }
    }

    private static List<Rule> with(List<Rule> one, List<Rule> two) {
        return Stream.concat(one.stream(), two.stream()).toList();
    }

    private static void rules(Sheet sheet, String set, String printed, double shift, List<Rule> rules) {
        sheet.read(AREA, Work.CHAMP_WOODALL, "Table 1, " + set)
                .number(
                        "run-rules-" + set + "-" + shift,
                        "values until rules " + set + " signal, mean " + shift + " standard deviations off",
                        printed,
                        new Tolerance(0.0051, "as printed, two decimals"),
                        () -> RunLength.of(rules, shift));
    }

    private static void smallShift(Sheet sheet, String[] row) {
        Work work = row[5].startsWith("Lucas & Crosier")
                ? Work.LUCAS_CROSIER
                : row[5].startsWith("Vance")
                        ? Work.VANCE
                        : row[5].startsWith("Crowder") ? Work.CROWDER : Work.LUCAS_SACCUCCI;
        if (row[3].isEmpty() || row[5].contains("less exact") || row[5].startsWith("computed")) {
            return;
        }
        double first = number(row[1], 0);
        double second = number(row[1], 1);
        double shift = Double.parseDouble(row[2]);
        sheet.read(AREA, work, row[5].substring(row[5].indexOf("Table")))
                .number(
                        "small-shift-" + row[0].replace(' ', '-') + "-" + row[1].replace(';', '-') + "-" + shift,
                        "values until a " + row[0] + " chart, " + row[1].replace(";", ", ") + ", signals, mean " + shift
                                + " standard deviations off",
                        row[3],
                        new Tolerance(
                                0.006 * Double.parseDouble(row[3]),
                                "0.6 %, the papers' own arithmetic and three figures"),
                        () -> row[0].startsWith("EWMA")
                                ? RunLength.ewma(first, second, shift)
                                : row[0].startsWith("CUSUM one-sided")
                                        ? RunLength.cusum(first, second, shift, 0)
                                        : RunLength.cusumTwoSided(
                                                first, second, shift, row[0].endsWith("FIR") ? number(row[1], 2) : 0));
    }

    private static double number(String design, int which) {
        String part = design.split(";", -1)[which];
        return Double.parseDouble(part.substring(part.indexOf('=') + 1));
    }
}
