package org.tenmesh.app.check;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.statistics.LeastSquares;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.Spread;

/** Least squares, spread and quantiles. */
final class RegressionChecks {
    private static final String AREA = "Statistics";
    private static final Map<String, Integer> DEGREES = Map.of(
            "Norris",
            1,
            "Pontius",
            2,
            "Filip",
            10,
            "Wampler1",
            5,
            "Wampler2",
            5,
            "Wampler3",
            5,
            "Wampler4",
            5,
            "Wampler5",
            5);
    // What a double still holds of each set; the digits lost are lost when the decimal text is read.
    private static final Map<String, double[]> UNIVARIATE_DIGITS = Map.of(
            "Lew", new double[] {14, 13, 13},
            "Lottery", new double[] {14, 13, 13},
            "Mavro", new double[] {14, 12, 12},
            "Michelso", new double[] {14, 12, 12},
            "NumAcc1", new double[] {14, 13, 13},
            "NumAcc2", new double[] {14, 12, 12},
            "NumAcc3", new double[] {14, 9, 9},
            "NumAcc4", new double[] {14, 7, 7});

    private RegressionChecks() {}

    static void onto(Sheet sheet) {
        linear(sheet);
        univariate(sheet);
        robust(sheet);
        student(sheet);
    }

    private static void linear(Sheet sheet) {
        Rows data = Rows.of("nist-linear-data.csv");
        Rows certified = Rows.of("nist-linear-certified.csv");
        for (String set :
                certified.rows().stream().map(row -> row[0]).distinct().toList()) {
            LeastSquares fit = fit(data, set);
            for (String[] row : certified.where(set)) {
                String quantity = row[2];
                if (quantity.startsWith("df_")) {
                    continue;
                }
                Standing standing = row[4].equals("certified") ? Standing.READ : Standing.COMPUTED;
                boolean zero = Double.parseDouble(row[3]) == 0;
                Tolerance tolerance = zero
                        ? new Tolerance(1e-8, "an exact polynomial leaves only rounding")
                        : Tolerance.digits(row[3], 11, "certified to 15, the condition of the set takes the rest");
                sheet.from(AREA, Work.NIST_LINEAR, "set " + set + ", " + row[1], standing)
                        .number(
                                "nist-" + set.toLowerCase(Locale.ROOT) + "-" + quantity,
                                set + " " + quantity,
                                row[3],
                                tolerance,
                                () -> value(fit, quantity, set.startsWith("NoInt") ? 1 : 0));
            }
        }
    }

    private static LeastSquares fit(Rows data, String set) {
        double[] y = data.column(set, "y");
        Integer degree = DEGREES.get(set);
        if (degree != null) {
            return LeastSquares.polynomial(data.column(set, "x1"), y, degree);
        }
        int predictors = set.equals("Longley") ? 6 : 1;
        boolean constant = set.equals("Longley");
        List<String[]> rows = data.where(set);
        double[][] columns = new double[rows.size()][];
        for (int i = 0; i < columns.length; i++) {
            columns[i] = new double[predictors + (constant ? 1 : 0)];
            columns[i][0] = 1;
            for (int j = 0; j < predictors; j++) {
                columns[i][j + (constant ? 1 : 0)] = Double.parseDouble(rows.get(i)[3 + j]);
            }
        }
        return LeastSquares.fit(columns, y, constant);
    }

    private static double value(LeastSquares fit, String quantity, int firstPower) {
        if (quantity.startsWith("B")) {
            return fit.coefficient(Integer.parseInt(quantity.substring(1)) - firstPower);
        }
        if (quantity.startsWith("SD(B")) {
            return fit.standardError(Integer.parseInt(quantity.substring(4, quantity.length() - 1)) - firstPower);
        }
        return switch (quantity) {
            case "residual_SD" -> fit.residualSd();
            case "R2" -> fit.rSquared();
            case "SS_regression" -> fit.regressionSumOfSquares();
            case "SS_residual" -> fit.residualSumOfSquares();
            case "F" -> fit.fStatistic();
            default -> throw new IllegalArgumentException("no such quantity of a fit: " + quantity);
        };
    }

    private static void univariate(Sheet sheet) {
        Rows data = Rows.of("nist-univariate-data.csv");
        for (String[] row : Rows.of("nist-univariate-certified.csv").rows()) {
            String set = row[0];
            Spread spread = Spread.of(data.column(set, "y"));
            double[] digits = UNIVARIATE_DIGITS.getOrDefault(set, new double[] {14, 12, 12});
            String why = "what doubles hold of this set";
            Sheet.From from = sheet.read(AREA, Work.NIST_UNIVARIATE, "set " + set);
            String id = "nist-" + set.toLowerCase(Locale.ROOT);
            from.number(id + "-mean", set + " mean", row[2], Tolerance.digits(row[2], digits[0], why), spread::mean);
            from.number(
                    id + "-sd",
                    set + " standard deviation",
                    row[3],
                    Tolerance.digits(row[3], digits[1], why),
                    spread::sd);
            from.number(
                    id + "-lag1",
                    set + " lag-1 autocorrelation",
                    row[4],
                    Tolerance.digits(row[4], digits[2], why),
                    spread::lag1);
        }
    }

    private static void robust(Sheet sheet) {
        double[] copper = Rows.of("copper.csv").column("chem", "value");
        Sheet.From from = sheet.read(AREA, Work.AMC_COPPER, "");
        from.number(
                "copper-mean",
                "mean of 24 copper results",
                "4.2804",
                Tolerance.lastDigit("4.2804"),
                () -> Spread.of(copper).mean());
        from.number(
                "copper-median", "their median", "3.385", Tolerance.lastDigit("3.385"), () -> Robust.median(copper));
        from.number(
                "copper-mad",
                "their median absolute deviation, scaled",
                "0.52632",
                Tolerance.lastDigit("0.52632"),
                () -> Robust.scaledMad(copper));
    }

    private static void student(Sheet sheet) {
        String[][] table = {
            {"7", "3.143"},
            {"8", "2.998"},
            {"9", "2.896"},
            {"10", "2.821"},
            {"11", "2.764"},
            {"16", "2.602"},
            {"21", "2.528"},
            {"26", "2.485"},
            {"31", "2.457"},
            {"61", "2.390"}
        };
        Sheet.From from = sheet.read(AREA, Work.WISCONSIN, "");
        for (String[] row : table) {
            from.number(
                    "student-" + row[0],
                    "Student's t for 99 % and " + row[0] + " replicates",
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    () -> Quantiles.t(0.99, Integer.parseInt(row[0]) - 1));
        }
        from.number(
                "student-infinite",
                "normal quantile for 99 %",
                "2.326",
                Tolerance.lastDigit("2.326"),
                () -> Quantiles.normal(0.99));
    }
}
